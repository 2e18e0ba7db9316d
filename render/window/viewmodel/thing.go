package viewmodel

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

// ThingKind is what sort of thing a person pointed at.
type ThingKind string

const (
	NoThing    ThingKind = ""
	RobotThing ThingKind = "robot"
	PieceThing ThingKind = "piece"
	GoalThing  ThingKind = "goal"
	ZoneThing  ThingKind = "zone"
	LineThing  ThingKind = "line"
	EventThing ThingKind = "event" // Index: of the record's events
	FloorThing ThingKind = "floor"
)

// Thing is what a person pointed at. Index is the robot's, the body's id, the zone's, the line's or the event's.
type Thing struct {
	Kind  ThingKind
	Index int
}

// Nothing is no thing.
var Nothing = Thing{}

// Fact is one line about a thing.
type Fact struct{ Name, Value string }

// ThingAt is what lies on top at a place of the field at a time. reach (m) widens small things so that they can be hit.
func (r *Run) ThingAt(at geom.Vec, t, reach float64) Thing {
	sample := max(r.Index.At(t), 0)
	for i, robot := range r.Record.Header.Robots {
		state, ok := r.Index.Robot(i, sample)
		if ok && outline(robot).Contains(state.True.Geom().ToLocal(at)) {
			return Thing{RobotThing, i}
		}
	}
	if thing := r.bodyAt(at, sample, reach); thing != Nothing {
		return thing
	}
	return r.markingAt(at, reach)
}

// bodyAt prefers pieces, which are small and lie over nothing else that matters, and among them the nearest.
func (r *Run) bodyAt(at geom.Vec, sample int, reach float64) Thing {
	found, best := Nothing, math.Inf(1)
	for id, body := range r.Record.Header.Bodies {
		state, ok := r.Index.Body(id, sample)
		if !ok || state.In != record.OnFloor {
			continue
		}
		gap := r.gap(body, state.Pose.Geom(), at)
		if gap > reach || body.Goal && found.Kind == PieceThing {
			continue
		}
		if kind := kindOf(body); gap < best || kind == PieceThing && found.Kind == GoalThing {
			found, best = Thing{kind, id}, gap
		}
	}
	return found
}

func kindOf(body record.Body) ThingKind {
	if body.Goal {
		return GoalThing
	}
	return PieceThing
}

// gap is how far a place is outside a body, 0 within it, m.
func (r *Run) gap(body record.Body, pose geom.Pose, at geom.Vec) float64 {
	own := pose.ToLocal(at)
	if shape, radius := shapeOf(r.Setup.Field, body); len(shape) < 3 {
		return math.Max(0, math.Hypot(own.X, own.Y)-radius)
	} else if !shape.Contains(own) {
		return shape.Distance(own)
	}
	return 0
}

// shapeOf is a body's outline in its own frame, or the radius of one drawn as a disc.
func shapeOf(f *fields.Field, body record.Body) (geom.Polygon, float64) {
	const unknown = 0.05 // m
	if f == nil {
		return nil, unknown
	}
	if body.Goal {
		for _, kind := range f.GoalKinds {
			if kind.Name == body.Kind {
				return kind.Shape, unknown
			}
		}
	}
	for _, kind := range f.PieceKinds {
		if kind.Name == body.Kind {
			return nil, kind.Radius
		}
	}
	return nil, unknown
}

func (r *Run) markingAt(at geom.Vec, reach float64) Thing {
	f := r.Setup.Field
	if f == nil {
		return Nothing
	}
	for i, line := range f.Lines {
		if geom.DistanceToSegment(at, line.A, line.B) <= reach {
			return Thing{LineThing, i}
		}
	}
	for i, zone := range f.Zones {
		if zone.Shape.Contains(at) {
			return Thing{ZoneThing, i}
		}
	}
	if f.Floor.Contains(at) {
		return Thing{FloorThing, 0}
	}
	return Nothing
}

func outline(robot record.Robot) geom.Polygon {
	shape := make(geom.Polygon, len(robot.Outline))
	for i, c := range robot.Outline {
		shape[i] = geom.Vec{X: c[0], Y: c[1]}
	}
	return shape
}

// PoseOf is where a robot, piece or goal is at a time.
func (r *Run) PoseOf(thing Thing, t float64) (geom.Pose, bool) {
	sample := max(r.Index.At(t), 0)
	switch thing.Kind {
	case RobotThing:
		if state, ok := r.Index.Robot(thing.Index, sample); ok {
			return state.True.Geom(), true
		}
	case PieceThing, GoalThing:
		if state, ok := r.Index.Body(thing.Index, sample); ok {
			return state.Pose.Geom(), true
		}
	}
	return geom.Pose{}, false
}

// NameOf is what a thing is called.
func (d *Model) NameOf(thing Thing) string {
	if d.Now == nil {
		return string(thing.Kind)
	}
	header, f := d.Now.Record.Header, d.Now.Setup.Field
	switch thing.Kind {
	case RobotThing:
		if thing.Index < len(header.Robots) {
			return header.Robots[thing.Index].File.Called()
		}
	case PieceThing, GoalThing:
		if thing.Index < len(header.Bodies) {
			return header.Bodies[thing.Index].Name
		}
	case ZoneThing:
		if f != nil && thing.Index < len(f.Zones) {
			return f.Zones[thing.Index].Name
		}
	case LineThing:
		if f != nil && thing.Index < len(f.Lines) {
			return f.Lines[thing.Index].Name
		}
	case EventThing:
		if thing.Index < len(d.Now.Record.Events) {
			return string(d.Now.Record.Events[thing.Index].Kind)
		}
	}
	return string(thing.Kind)
}

// RobotName tells a robot apart where there are several: "Hauler 2, teal", as the legend does.
func (d *Model) RobotName(i int) string {
	name := d.NameOf(Thing{RobotThing, i})
	if d.Now == nil || i >= len(d.Now.Record.Header.Robots) || len(d.Now.Record.Header.Robots) < 2 {
		return name
	}
	name = d.Now.Record.Header.RobotName(i)
	if side := d.Now.Record.Header.Robots[i].Side; d.Now.Setup.Field != nil && side < len(d.Now.Setup.Field.Sides) {
		name += ", " + d.Now.Setup.Field.Sides[side].Name
	}
	return name
}

// RobotWords says whose robot it is: "robot 2, an opponent's Hauler (teal)".
func (d *Model) RobotWords(i int) string {
	name := d.NameOf(Thing{RobotThing, i})
	if d.Now == nil || i >= len(d.Now.Record.Header.Robots) {
		return name
	}
	robots := d.Now.Record.Header.Robots
	whose := "your "
	switch {
	case i > 0 && robots[i].Side == robots[0].Side:
		whose = "your partner's "
	case i > 0:
		whose = "an opponent's "
	}
	words := whose + name
	if len(robots) > 1 {
		words = fmt.Sprintf("robot %d, %s", i+1, words)
	}
	if f := d.Now.Setup.Field; f != nil && robots[i].Side < len(f.Sides) {
		words += " (" + f.Sides[robots[i].Side].Name + ")"
	}
	return words
}

// LuaPose and LuaPoint write coordinates as a routine does: millimetres and degrees.
func LuaPose(p geom.Pose) string {
	return fmt.Sprintf("{x = %s, y = %s, heading = %s}", millimetres(p.X), millimetres(p.Y),
		tidy(WholeTurn(geom.Degrees(p.Heading)), 1))
}

// WholeTurn brings degrees into (-180, 180] as they are printed, in tenths: half a turn is 180 however it was reckoned.
func WholeTurn(deg float64) float64 {
	tenths := math.Mod(math.Round(10*deg), 3600)
	switch {
	case tenths > 1800:
		tenths -= 3600
	case tenths <= -1800:
		tenths += 3600
	}
	return tenths / 10
}

func LuaPoint(v geom.Vec) string {
	return fmt.Sprintf("{%s, %s}", millimetres(v.X), millimetres(v.Y))
}

// PoseWords and PointWords say a place to a person: as Lua has it, or in the system's units.
func PoseWords(in units.System, p geom.Pose) string {
	if in == units.Metric {
		return LuaPose(p)
	}
	return PointWords(in, p.At()) + ", heading " + tidy(WholeTurn(geom.Degrees(p.Heading)), 1) + " deg"
}

func PointWords(in units.System, v geom.Vec) string {
	if in == units.Metric {
		return LuaPoint(v)
	}
	return in.Figure(v.X, "mm", 0) + ", " + in.Text(v.Y, "mm", 0)
}

func millimetres(m float64) string { return tidy(1000*m, 0) }

// tidy prints a number with at most so many decimals, without trailing zeros and without a negative zero.
func tidy(x float64, decimals int) string {
	scale := math.Pow10(decimals)
	x = math.Round(x*scale) / scale
	if x == 0 {
		x = 0 // negative zero
	}
	return fmt.Sprintf("%g", x)
}

// Fixed prints a number with so many decimals, and never a negative zero.
func Fixed(x float64, decimals int) string {
	scale := math.Pow10(decimals)
	return strconv.FormatFloat(math.Round(x*scale)/scale+0, 'f', decimals, 64)
}

// Outline is a thing's shape in its own frame, m; empty for what has none.
func (r *Run) Outline(thing Thing) geom.Polygon {
	switch thing.Kind {
	case RobotThing:
		return outline(r.Record.Header.Robots[thing.Index])
	case PieceThing, GoalThing:
		shape, radius := shapeOf(r.Setup.Field, r.Record.Header.Bodies[thing.Index])
		if len(shape) < 3 {
			return disc(radius)
		}
		return shape
	}
	return nil
}

// FixedCorners are those of the goals that stand fixed, m.
func (r *Run) FixedCorners() []geom.Vec {
	var corners []geom.Vec
	f := r.Setup.Field
	for i := range f.Goals {
		if kind := &f.GoalKinds[f.Goals[i].Kind]; kind.Fixed {
			corners = append(corners, kind.Shape.Placed(f.Goals[i].At)...)
		}
	}
	return corners
}

// isFixed reports whether a goal stands fixed.
func (r *Run) isFixed(goal Thing) bool {
	return slices.ContainsFunc(r.Setup.Field.GoalKinds, func(k fields.GoalKind) bool {
		return k.Fixed && k.Name == r.Record.Header.Bodies[goal.Index].Kind
	})
}

// Extent is the distance from a thing's middle to its farthest corner, m.
func (r *Run) Extent(thing Thing) float64 {
	var far float64
	for _, v := range r.Outline(thing) {
		far = math.Max(far, math.Hypot(v.X, v.Y))
	}
	return far
}

func disc(radius float64) geom.Polygon {
	const corners = 24
	shape := make(geom.Polygon, corners)
	for i := range shape {
		u := geom.Unit(2 * math.Pi * float64(i) / corners)
		shape[i] = geom.Vec{X: radius * u.X, Y: radius * u.Y}
	}
	return shape
}

// MovableThings are what can be moved before a run: the robot under test, then pieces and goals.
func (d *Model) MovableThings() []Thing {
	if d.Now == nil {
		return nil
	}
	things := []Thing{{RobotThing, 0}}
	for id, body := range d.Now.Record.Header.Bodies {
		if thing := (Thing{kindOf(body), id}); d.Movable(thing) == "" {
			things = append(things, thing)
		}
	}
	return things
}

// SelectNext chooses the next of the things that matter in this mode, or the one before it.
func (d *Model) SelectNext(by int) {
	things := d.askable()
	if len(things) == 0 {
		return
	}
	at := slices.Index(things, d.Selected)
	if at < 0 && by < 0 {
		at = 0
	}
	d.Selected = things[(at+by+len(things))%len(things)]
}

// askable are the things that Tab goes through.
func (d *Model) askable() []Thing {
	if d.Mode == Arrange || d.Now == nil {
		return d.MovableThings()
	}
	var things []Thing
	for i := range d.Now.Record.Header.Robots {
		things = append(things, Thing{RobotThing, i})
	}
	for id, body := range d.Now.Record.Header.Bodies {
		things = append(things, Thing{kindOf(body), id})
	}
	return things
}

// Standing is where the files, and what is arranged, put a thing before the run: what the spread draws on top is not in
// it.
func (d *Model) Standing(thing Thing) (geom.Pose, bool) {
	if thing.Kind == RobotThing && d.arranged.Start != nil {
		return *d.arranged.Start, true
	}
	if at, ok := d.arranged.Bodies[thing.Index]; ok && thing.Kind != RobotThing {
		return at, true
	}
	if d.Now == nil {
		return geom.Pose{}, false
	}
	if thing.Kind == RobotThing && thing.Index < len(d.Setup.Entrants) {
		return d.start(d.Setup.Entrants[thing.Index])
	}
	f := d.Setup.Field
	switch {
	case f == nil:
	case thing.Kind == PieceThing && thing.Index < len(f.Pieces):
		return f.Pieces[thing.Index].At, true
	case thing.Kind == GoalThing && thing.Index-len(f.Pieces) < len(f.Goals):
		return f.Goals[thing.Index-len(f.Pieces)].At, true
	}
	return geom.Pose{}, false
}

// start is where the files put an entrant.
func (d *Model) start(e rehearse.Entrant) (geom.Pose, bool) {
	side, err := rehearse.SideOf(d.Setup.Field, e)
	if err != nil {
		return geom.Pose{}, false
	}
	at, err := rehearse.StartOf(d.Setup.Field, e, side)
	return at, err == nil
}
