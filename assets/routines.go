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

// homes are the embedded fields with the robot that their routines are written for; a routine's name begins with its
// field's.
var homes = [...]struct{ field, robot string }{
	{"cask_quay", "hauler"}, {"foghorn_bay", "hauler"}, {"kiln_yard", "barrow"}, {"night_mail", "barrow"},
	{"orchard_row", "barrow"}, {"practice_yard", "hauler"}, {"sorting_yard", "sifter"},
}

// RoutineHome is the embedded field and robot that an embedded routine is written for.
func RoutineHome(name string) (field, robot string) {
	for _, home := range homes {
		if strings.HasPrefix(name, home.field+"_") {
			return home.field, home.robot
		}
	}
	return "core_haul", "hauler"
}
