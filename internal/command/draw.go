package command

import (
	"chalkfield/fields"
	"chalkfield/internal/geom"
	"chalkfield/internal/record"
	"chalkfield/internal/rehearse"
	"chalkfield/render/picture"
	"chalkfield/render/scene"
	"chalkfield/sim/robotfile"
)

const pictureWidth = 1600 // pixels

// drawRecord draws a whole rehearsal: path, events and final state.
func drawRecord(path string, setup rehearse.Setup, rec *record.Record) error {
	return picture.WriteFile(path, scene.Build(sceneInput(setup, rec)), pictureWidth)
}

// sceneInput shows the whole run of the robot under test.
func sceneInput(setup rehearse.Setup, rec *record.Record) scene.Input {
	in := scene.Input{Field: setup.Field, Record: rec, Options: scene.Options{Whole: true}}
	for _, e := range setup.Entrants {
		in.Mounts = append(in.Mounts, scene.MountOf(e.Robot))
	}
	if n := len(rec.Samples); n > 0 {
		in.T = rec.Samples[n-1].T
	}
	return in
}

// drawField draws a field as it is laid out.
func drawField(path string, field *fields.Field) error {
	return picture.WriteFile(path, scene.Build(scene.Input{Field: field}), pictureWidth)
}

// drawRobot draws a robot alone on a small floor: what a rehearsal shows of it at its start.
func drawRobot(path string, robot *robotfile.Robot) error {
	reach := 1.6 * max(robot.Chassis.Length, robot.Chassis.Width)
	floor := &fields.Field{
		Title: robot.Title, Tile: reach, Floor: geom.Rect(geom.Vec{}, geom.Vec{X: reach, Y: reach}),
		Surface: fields.Surface{Grip: 1}, Sides: []fields.Side{{Name: "robot", Colour: "#e8e4d8", Mark: "square"}},
		Phases: []fields.Phase{{Name: "start", Seconds: 1, Control: fields.Autonomous}}, Sessions: []fields.Session{{Name: "start", Phases: []int{0}}},
	}
	middle := geom.Pose{X: reach / 2, Y: reach / 2}
	setup := rehearse.Setup{Field: floor, Nominal: true, Entrants: []rehearse.Entrant{{Robot: robot, Start: &middle}}}
	standing, err := rehearse.New(setup)
	if err != nil {
		return err
	}
	defer standing.Close()
	standing.Tick()
	in := sceneInput(setup, standing.Record())
	in.Whole, in.Show = false, scene.Floor|scene.Walls|scene.Robots|scene.Rays|scene.Labels
	return picture.WriteFile(path, scene.Build(in), pictureWidth)
}
