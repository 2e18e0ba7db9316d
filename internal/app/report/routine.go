package report

import (
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// Routine says what a routine is for, what of it can be tuned, and what of its robot cannot work on its field. A start
// of nil is the file's of the field.
func Routine(in units.System, program *scripting.Program, start *geom.Pose, field *fields.Field,
	robot *robot.Robot) *Document {
	t := facts(in)
	t.fact("Field", "%s (%s)", field.Title, field.Name)
	t.fact("Robot", "%s (%s)", robot.Title, robot.Name)
	if program.Side != "" {
		t.fact("Side", "%s", program.Side)
	}
	if start != nil {
		t.fact("Start", "%s, for a tile of %.0f mm", Place(in, *start), field.Tile)
	}
	var phases []string
	if program.HasAuto {
		phases = append(phases, "auto")
	}
	if program.HasDriver {
		phases = append(phases, "driver")
	}
	t.fact("Has", "%s", strings.Join(phases, ", "))
	for _, p := range program.Params {
		t.fact("Param", "%s = %s, %s", p.Name, p.Words(p.Default), p.Span())
	}
	t.misfits(robot, field)
	return &Document{Title: program.Title, Head: []string{heading(program.Title, program.Name)},
		Sections: []Section{{Table: t}}}
}

// Calls lists what a routine can call on a robot's mechanisms and sensors.
func Calls(robot *robot.Robot) *Document {
	t := &Table{Look: Plain, Columns: []Column{{}, {}}}
	for _, c := range scripting.Calls(robot) {
		t.Add(c.Form, strings.ReplaceAll(c.Does, "`", ""))
	}
	return &Document{Title: robot.Title, Sections: []Section{{Table: t}}}
}
