package viewmodel

import (
	"fmt"
	"maps"
	"math"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
)

// Arrangement is what a person changed before a run: the first robot's start, pieces, goals, and the values of the
// routine's param(). The zero Arrangement changes nothing. Arrangements are values: a change makes a new one, so that
// undo only has to keep the old.
type Arrangement struct {
	Start  *geom.Pose
	Bodies map[int]geom.Pose // by body id: pieces, then goals
	Params map[string]float64
}

// Empty reports whether nothing is changed.
func (a Arrangement) Empty() bool { return a.Start == nil && len(a.Bodies) == 0 && len(a.Params) == 0 }

func (a Arrangement) same(b Arrangement) bool {
	starts := a.Start == b.Start || a.Start != nil && b.Start != nil && *a.Start == *b.Start
	return starts && maps.Equal(a.Bodies, b.Bodies) && maps.Equal(a.Params, b.Params)
}

// StartMoved reports whether the start of the robot under test is another than the routine's.
func (d *Model) StartMoved() bool { return d.arranged.Start != nil }

// with gives a copy in which one thing stands elsewhere.
func (a Arrangement) with(thing Thing, at geom.Pose) Arrangement {
	if thing.Kind == RobotThing {
		a.Start = &at
		return a
	}
	a.Bodies = withKey(a.Bodies, thing.Index, at)
	return a
}

// withKey is a copy of a map with one more entry.
func withKey[K comparable, V any](m map[K]V, key K, value V) map[K]V {
	out := make(map[K]V, len(m)+1)
	maps.Copy(out, m)
	out[key] = value
	return out
}

// Apply gives the setup with the arrangement made. The setup's own field stays as it is: rehearsals under way share it.
func (a Arrangement) Apply(setup rehearse.Setup) rehearse.Setup {
	if a.Start != nil && len(setup.Entrants) > 0 {
		setup.Entrants = append([]rehearse.Entrant(nil), setup.Entrants...)
		setup.Entrants[0].Start = a.Start
	}
	for name, value := range a.Params {
		setup.Params = withKey(setup.Params, name, value)
	}
	if len(a.Bodies) == 0 || setup.Field == nil {
		return setup
	}
	field := *setup.Field
	field.Pieces = append([]fields.Piece(nil), field.Pieces...)
	field.Goals = append([]fields.Goal(nil), field.Goals...)
	for id, at := range a.Bodies {
		switch {
		case id < len(field.Pieces):
			field.Pieces[id].At = at
		case id < len(field.Pieces)+len(field.Goals):
			field.Goals[id-len(field.Pieces)].At = at
		}
	}
	setup.Field = &field
	return setup
}

// Movable says why a thing cannot be moved before a run, or "".
func (d *Model) Movable(thing Thing) string {
	f := d.Setup.Field
	switch {
	case f == nil:
		return "there is no field yet"
	case !d.hasRoutine():
		return "this record has no routine to be rehearsed again"
	case thing.Kind == RobotThing && thing.Index == 0:
		return ""
	case thing.Kind == RobotThing:
		return "only the robot under test can be moved; give the other one's routine another start"
	case thing.Kind == PieceThing && thing.Index < len(f.Pieces):
		piece := f.Pieces[thing.Index]
		if piece.Goal >= 0 {
			return "it starts in a goal: move the goal"
		}
		if piece.Robot >= 0 {
			return "it starts in a robot: move the robot"
		}
		return ""
	case thing.Kind == GoalThing && thing.Index-len(f.Pieces) < len(f.Goals):
		if f.GoalKinds[f.Goals[thing.Index-len(f.Pieces)].Kind].Fixed {
			return "it is a fixed goal: move it in the field file"
		}
		return ""
	}
	return "it cannot be moved"
}

// Move puts a thing elsewhere and rehearses again. Undo takes it back.
func (d *Model) Move(thing Thing, at geom.Pose) {
	if why := d.Movable(thing); why != "" {
		d.Warn("Not moved: " + why + ".")
		return
	}
	at, ok := d.Inside(thing, at)
	if !ok {
		d.Warn("Not moved: there is no room for it on the floor there.")
		return
	}
	at = snapped(at)
	if name := d.within(thing, at); name != "" {
		d.Warn(fmt.Sprintf("Not moved: %s would stand in %s there.", d.NameOf(thing), name))
		return
	}
	d.change(d.arranged.with(thing, at), turns{})
	d.Say(fmt.Sprintf("Moved %s to %s. Undo with Ctrl+Z.", d.NameOf(thing), PoseWords(d.Units, at)))
}

// within names what a piece or goal would overlap; robots are judged when they are to be rehearsed.
func (d *Model) within(thing Thing, at geom.Pose) string {
	if thing.Kind == RobotThing {
		return ""
	}
	return d.arranged.with(thing, at).Apply(d.Setup).Field.Within(thing.Index)
}

// change makes another arrangement count, rehearses it, and keeps the old one for Undo.
func (d *Model) change(to Arrangement, t turns) {
	d.undo, d.redo = append(d.undo, step{arranged: d.arranged}), nil
	d.arranged = to
	d.turn(t)
}

// snapped is a pose on whole millimetres and tenths of a degree, as it would be written.
func snapped(p geom.Pose) geom.Pose {
	const tenth = math.Pi / 1800
	return geom.Pose{X: wholeMillimetres(p.X), Y: wholeMillimetres(p.Y),
		Heading: math.Round(geom.WrapAngle(p.Heading)/tenth) * tenth}
}

// Arranged reports whether anything stands otherwise than the files say.
func (d *Model) Arranged() bool { return !d.arranged.Empty() }

// ArrangedWords tell what does, "" for nothing.
func (d *Model) ArrangedWords() string {
	var words []string
	for _, w := range []struct {
		is    bool
		words string
	}{{d.arranged.Start != nil, "start moved"}, {len(d.arranged.Bodies) > 0, "things moved"},
		{len(d.arranged.Params) > 0, "values turned"}} {
		if w.is {
			words = append(words, w.words)
		}
	}
	return strings.Join(words, ", ")
}

// PutBack makes everything as the files say; Undo brings the arrangement back.
func (d *Model) PutBack() {
	if d.arranged.Empty() {
		d.Say("Everything is as the files say.")
		return
	}
	d.change(Arrangement{}, turns{})
	d.Say("Everything is as the files say again. Undo with Ctrl+Z.")
}

// asWritten is a pose of the field in the coordinates of the routine's own side.
func (d *Model) asWritten(p geom.Pose) geom.Pose {
	f := d.Setup.Field
	if f == nil || d.Now == nil || len(d.Setup.Entrants) == 0 || d.Setup.Entrants[0].Routine == nil {
		return p
	}
	own := 0
	if side := d.Setup.Entrants[0].Routine.Side; side != "" {
		if i, err := f.SideIndex(side); err == nil {
			own = i
		}
	}
	if own == d.Now.Record.Header.Robots[0].Side {
		return p
	}
	return f.Mirror(p)
}
