package command

import (
	"chalkfield/fields"
	"chalkfield/internal/app/alongside"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/setpoints"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/render/picture"
	"chalkfield/render/scene"
	"chalkfield/sim/robot"
)

const pictureWidth = 1600 // pixels

func writePicture(path string, s *scene.Scene) error {
	return picture.WriteFile(path, picture.Of(s, pictureWidth), pictureWidth)
}

// drawRecord draws a whole rehearsal: path, events and final state; and a log and a table of setpoints beside it, nil
// for none.
func drawRecord(units units.System, path string, setup rehearse.Setup, rec *record.Record, pair *alongside.Pair,
	plan *setpoints.Table) error {
	in := sceneInput(units, setup, rec, pair)
	if plan != nil {
		in.Setpoints = plan.Trace(rec)
	}
	return writePicture(path, scene.Build(in))
}

// sceneInput shows the whole run of the robot under test, and a log beside it, nil for none.
func sceneInput(units units.System, setup rehearse.Setup, rec *record.Record, pair *alongside.Pair) scene.Input {
	in := scene.Input{Units: units, Field: setup.Field, Record: rec, Options: scene.Options{Whole: true}}
	if pair != nil {
		in.Log, in.LogDeparts = pair.Trace, pair.DepartsAt()
	}
	for _, e := range setup.Entrants {
		in.Mounts = append(in.Mounts, scene.MountOf(e.Robot))
	}
	if n := len(rec.Samples); n > 0 {
		in.T = rec.Samples[n-1].T
	}
	return in
}

// drawField draws a field as it is laid out.
func drawField(units units.System, path string, field *fields.Field) error {
	return writePicture(path, scene.Build(scene.Input{Units: units, Field: field}))
}

// drawRobot draws a robot alone, with its wheels, mechanisms and sensors named.
func drawRobot(units units.System, path string, robot *robot.Robot) error {
	return writePicture(path, scene.Drawing(units, robot))
}
