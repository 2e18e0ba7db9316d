// Package templates holds the files that `chalkfield new` writes.
package templates

import "embed"

// Project has project/README.md for every project, and a folder with a first routine for each embedded robot. A template of
// a robot whose game is not Core Haul needs that field beside its routine; Fields names it.
//
//go:embed project hauler barrow
var Project embed.FS

// Fields are the embedded fields that the projects of some robots bring along as field.toml.
var Fields = map[string]string{"barrow": "kiln_yard"}
