// Package routines holds the embedded routines: the demos of each embedded field.
package routines

import (
	"embed"
	"strings"
)

// Files has the routines as NAME.lua.
//
//go:embed *.lua
var Files embed.FS

// Names lists the embedded routines, sorted.
func Names() []string {
	entries, err := Files.ReadDir(".")
	if err != nil {
		panic(err) // the embedded folder is there or the program would not have been built
	}
	var names []string
	for _, e := range entries {
		names = append(names, strings.TrimSuffix(e.Name(), ".lua"))
	}
	return names
}

// Has reports whether there is an embedded routine of that name.
func Has(name string) bool {
	_, err := Files.Open(name + ".lua")
	return err == nil
}

// Home is the embedded field and robot that an embedded routine is written for: the field's name begins its own.
func Home(name string) (field, robot string) {
	switch {
	case strings.HasPrefix(name, "kiln_yard_"):
		return "kiln_yard", "barrow"
	case strings.HasPrefix(name, "practice_yard_"):
		return "practice_yard", "hauler"
	}
	return "core_haul", "hauler"
}
