// Package ci holds what `chalkfield new --ci` adds to a project beside its check files: a workflow for a CI server, and a
// script for the array jobs of a batch scheduler. Paths are as they stand in the project.
package ci

import "embed"

// Files are the recipe.
//
//go:embed ci
var Files embed.FS
