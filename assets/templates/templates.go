// Package templates holds the files that `chalkfield new` writes.
package templates

import "embed"

// Project is the small working project, under project/.
//
//go:embed project
var Project embed.FS
