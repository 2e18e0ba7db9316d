// Package robots holds the robot files that come with the program.
package robots

import "embed"

// Files are the robot files, at the root.
//
//go:embed *.toml
var Files embed.FS
