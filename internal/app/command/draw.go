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
	"chalkfield/render/scene/paint"
	"chalkfield/sim/robot"
)

const pictureWidth = 1600 // pixels

// paper is what a picture is drawn on.
type paper struct {
	path  string
	units units.System
	theme paint.Theme
}

func (p paper) draw(s *scene.Scene) error {
	return picture.WriteFile(p.path, picture.Of(s, pictureWidth).In(p.theme), pictureWidth)
}

// record draws a whole rehearsal: path, events and final state; and a log and a table of setpoints beside it, nil
// for none.
func (p paper) record(setup rehearse.Setup, rec *record.Record, pair *alongside.Pair, plan *setpoints.Table) error {
	in := sceneInput(p.units, setup, rec, pair)
	if plan != nil {
		in.Setpoints = plan.Trace(rec)
	}
	return p.draw(scene.Build(in))
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

// field draws a field as it is laid out.
func (p paper) field(field *fields.Field) error {
	return p.draw(scene.Build(scene.Input{Units: p.units, Field: field}))
}

// robot draws a robot alone, with its wheels, mechanisms and sensors named.
func (p paper) robot(robot *robot.Robot) error { return p.draw(scene.Drawing(p.units, robot)) }
