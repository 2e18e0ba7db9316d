package assets

import (
	"io/fs"
	"strings"
)

// RoutineNames lists the embedded routines, sorted.
func RoutineNames() []string {
	entries, err := fs.ReadDir(Routines, ".")
	if err != nil {
		panic(err) // see folder
	}
	var names []string
	for _, e := range entries {
		names = append(names, strings.TrimSuffix(e.Name(), ".lua"))
	}
	return names
}

// HasRoutine reports whether there is an embedded routine of that name.
func HasRoutine(name string) bool {
	_, err := fs.Stat(Routines, name+".lua")
	return err == nil
}

// RoutineHome is the embedded field and robot that an embedded routine is written for: the field's name begins its own.
func RoutineHome(name string) (field, robot string) {
	switch {
	case strings.HasPrefix(name, "kiln_yard_"):
		return "kiln_yard", "barrow"
	case strings.HasPrefix(name, "practice_yard_"):
		return "practice_yard", "hauler"
	}
	return "core_haul", "hauler"
}
