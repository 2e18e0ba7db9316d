// Package assets holds the files that come with the program.
package assets

import (
	"embed"
	"io/fs"
)

//go:embed robots routines templates programs lessons courses
var files embed.FS

var (
	// Robots are the robot files, as NAME.toml.
	Robots = folder("robots")
	// Routines are the routines, as NAME.lua.
	Routines = folder("routines")
	// Programs are the clients of programs in other languages, a folder each with the demo in it.
	Programs = folder("programs")
	// Templates are what `chalkfield new` writes: project/README.md for every project, and a folder with a first routine
	// for each embedded robot.
	Templates = folder("templates")
	// Lessons are the lessons for new members, a folder each, and words.toml, what is said around them. Courses are those
	// for drivers.
	Lessons, Courses = folder("lessons"), folder("courses")
)

// CI is what `chalkfield new --ci` adds to a project beside its check files: a workflow for a CI server, and a script
// for the array jobs of a batch scheduler. Paths are as they stand in the project.
//
//go:embed ci
var CI embed.FS

// Messages is the JSON Schema of what programs and the simulator say to each other.
//
//go:embed programs/messages.schema.json
var Messages []byte

// Language is one that programs are written in.
type Language struct {
	Name           string // "python"
	Source, Client string // files of a new project
	Build, Command string // in its folder; Build: "" where nothing is built

	// a follower of tables of setpoints, and a program that is one; none: there is none in this language
	Follower []string
}

// Languages are those that have a client.
var Languages = []Language{
	{"python", "robot.py", "chalkfield.py", "", "python3 robot.py", []string{"follower.py", "follow.py"}},
	{"cpp", "robot.cpp", "chalkfield.hpp", "g++ -std=c++17 -O2 -o robot robot.cpp", "./robot",
		[]string{"follower.hpp", "follow.cpp"}},
	{"java", "Robot.java", "Chalkfield.java", "javac -d build Chalkfield.java Robot.java", "java -cp build Robot", nil},
}

// ProjectFields are the embedded fields that the projects of some robots bring along as field.toml, because their
// first routine is not for Core Haul.
var ProjectFields = map[string]string{"barrow": "kiln_yard", "sifter": "sorting_yard"}

// Licences are the terms of all that the program is made from: its own, the modules', the fonts'.
//
//go:embed licences.txt
var Licences string

func folder(name string) fs.FS {
	sub, err := fs.Sub(files, name)
	if err != nil {
		panic(err) // the embedded folder is there or the program would not have been built
	}
	return sub
}
