package sim

import (
	"fmt"

	"chalkfield/fields"
	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// Config is everything that determines a world.
type Config struct {
	Field   *fields.Field
	Robots  []Entry
	Seed    uint64 // draws the spread and every noise
	Nominal bool   // draw nothing: everything as the files say

	Step float64 // s: every step's, also of a Tick; 0: the usual ones. Tests change it to see errors shrink.
}

// Entry is one robot and where it starts.
type Entry struct {
	Spec  *robot.Robot
	Known *robot.Robot // what its controllers take it for; nil: Spec
	Side  int          // index of the field's sides
	Start geom.Pose    // of the robot's origin
}

// World is the state of one rehearsal.
type World struct {
	field   *fields.Field
	seed    uint64
	nominal bool
	dt      float64 // s: of a Step
	strides bool    // a Tick may take strides
	elapsed int64   // ns since the start
	opens   int64   // ns: when the next control tick opens
	grip    float64

	space  *cp.Space
	ground *cp.Body // what floor friction and tyres push against
	robots []*Robot
	bodies []*Body
	open   []*Body // the goals that let pieces out
	struck []hit   // goals that tip at the end of the step
	loads  []loader
	phase  int // of the field, -1: none has begun

	drawn    []record.Number
	events   []record.Event
	reported []record.Event // the slice that TakeEvents last gave out, used again
	touching []touch
	stripes  []stripe // nil: no sensor looks for lines
}

// New builds a world. It fails when a robot starts outside the floor, or in another robot, a piece or a goal.
func New(c Config) (*World, error) {
	w := &World{field: c.Field, seed: c.Seed, nominal: c.Nominal, dt: c.Step, space: newSpace(), ground: newStatic(),
		phase: -1}
	if w.dt == 0 {
		w.dt, w.strides = stepLength, true
	}
	if err := checkStarts(c); err != nil {
		return nil, err
	}
	addWalls(w.space, c.Field)
	w.grip = c.Field.Surface.Grip * w.factor("floor grip", c.Field.Spread.Grip)
	w.addBodies()
	for i, e := range c.Robots {
		d := w.drawRobot(i, e)
		w.robots = append(w.robots, w.newRobot(i, e, d.start, d))
	}
	for _, r := range w.robots {
		r.addParts()
	}
	w.settleHeld()
	return w, nil
}

// addBodies places pieces, then goals; a body's id is its index.
func (w *World) addBodies() {
	f, s := w.field, w.field.Spread
	friction := w.factor("floor friction", s.Friction)
	for i, p := range f.Pieces {
		at := p.At
		if f.LoadOf(i) < 0 { // people put theirs exactly where there is room
			at = w.scatter(p.Name, p.At, float64(s.PieceAt), 0)
		}
		w.bodies = append(w.bodies, w.newPiece(i, at, friction))
	}
	for i, g := range f.Goals {
		at := g.At
		if !f.GoalKinds[g.Kind].Fixed {
			at = w.scatter(g.Name, g.At, float64(s.GoalAt), float64(s.GoalHeading))
		}
		w.bodies = append(w.bodies, w.newGoal(i, at, friction))
		if f.GoalKinds[g.Kind].Open {
			w.open = append(w.open, w.bodies[len(w.bodies)-1])
		}
	}
}

// settleHeld puts pieces that start in a goal, in a robot or with a person there. A preload of a side without a robot
// stays on the floor.
func (w *World) settleHeld() {
	for i, p := range w.field.Pieces {
		b := w.bodies[i]
		switch {
		case p.Goal >= 0:
			goal := w.bodies[len(w.field.Pieces)+p.Goal]
			w.putInGoal(b, goal, goal.Pose().Relative(b.Pose()))
		case p.Robot >= 0:
			if r := w.firstOf(p.Robot); r != nil {
				r.preload(b)
			}
		}
	}
	w.addLoads()
}

// firstOf is the first robot of a side, or nil.
func (w *World) firstOf(side int) *Robot {
	for _, r := range w.robots {
		if r.Side == side {
			return r
		}
	}
	return nil
}

// Step moves the world by one physics step.
func (w *World) Step() {
	if w.elapsed >= w.opens {
		w.openTick()
	}
	w.advance(w.dt)
}

// openTick lets people and mechanisms do what they do once a control tick.
func (w *World) openTick() {
	w.opens += nanoseconds(ControlTick)
	w.load()
	for _, r := range w.robots {
		for _, m := range r.mechanisms {
			m.tick()
		}
	}
}

// advance moves everything on by dt seconds, in pieces that begin where a command reaches a drive's motors: tyres that
// let go at its volts may hold at their mean with those before.
func (w *World) advance(dt float64) {
	for end := w.elapsed + nanoseconds(dt); w.elapsed < end; dt = float64(end-w.elapsed) / 1e9 {
		w.move(w.untilCommand(dt))
	}
}

// shortest is the shortest piece of a step, s: volts for so little of it are 2 % of their mean.
const shortest = 1e-4

// untilCommand is how long it takes until the next command reaches motors, s; the whole step where none does before its
// end.
func (w *World) untilCommand(dt float64) float64 {
	first := dt
	for _, r := range w.robots {
		if d := r.drive; d.controller != nil {
			if next := d.controller.next(d.asked); next >= shortest && next <= dt-shortest {
				first = min(first, float64(nanoseconds(next))/1e9)
			}
		}
	}
	return first
}

// move moves everything on by dt seconds.
func (w *World) move(dt float64) {
	for _, r := range w.robots {
		r.act(dt)
	}
	w.space.Iterations = iterations
	w.space.Step(dt)
	w.elapsed += nanoseconds(dt)
	w.tipStruck()
	for _, r := range w.robots {
		r.drive.finish(&r.ledger)
		r.charge()
		r.warm(dt)
		r.watchTipping()
	}
}

// Sense lets every robot's sensors and odometry read the world: once per control tick, before the routines.
func (w *World) Sense() {
	for _, r := range w.robots {
		r.sense()
	}
}

// Time since the start, s.
func (w *World) Time() float64 { return float64(w.elapsed) / 1e9 }

// nanoseconds counts a time in s: whole numbers, so that steps of different lengths add up to ticks.
func nanoseconds(s float64) int64 { return int64(float64(s*1e9) + 0.5) }

// Robots in the order of the Config.
func (w *World) Robots() []*Robot { return w.robots }

// Bodies are the pieces, then the goals, in field order; a body's ID is its index.
func (w *World) Bodies() []*Body { return w.bodies }

// TakeEvents gives the events since the last call, in order. The slice is valid until the next call.
func (w *World) TakeEvents() []record.Event {
	w.events, w.reported = w.reported[:0], w.events
	return w.reported
}

// Drawn is what was drawn from the spread, in a fixed order.
func (w *World) Drawn() []record.Number { return w.drawn }

// happen reports an event now.
func (w *World) happen(e record.Event) {
	e.T = record.Round(w.Time())
	w.events = append(w.events, e)
}

// checkStarts refuses robots that do not stand clear, judged by the undrawn poses. Touching is allowed.
func checkStarts(c Config) error {
	for i := range c.Robots {
		if err := checkStart(c, i); err != nil {
			return err
		}
	}
	return nil
}

// checkStart looks at one robot, and at those before it.
func checkStart(c Config, i int) error {
	const touch = 0.001
	e := c.Robots[i]
	outline := e.outline()
	for _, v := range outline {
		if !c.Field.Floor.Contains(v) && c.Field.Floor.Distance(v) > touch {
			return fmt.Errorf("robot %d (%s) starts with a corner at %.0f, %.0f mm, outside the floor", i+1, e.Spec.Title,
				v.X*1e3, v.Y*1e3)
		}
	}
	for _, v := range c.Field.Floor {
		if outline.Contains(v) && outline.Distance(v) > touch {
			return fmt.Errorf("robot %d (%s) starts over the wall's corner at %.0f, %.0f mm", i+1, e.Spec.Title, v.X*1e3,
				v.Y*1e3)
		}
	}
	if name := e.startsIn(c, i, outline, touch); name != "" {
		return fmt.Errorf("robot %d (%s) starts in %s", i+1, e.Spec.Title, name)
	}
	return nil
}

// outline of the entry at its start.
func (e Entry) outline() geom.Polygon { return e.Spec.Chassis.Shape().Placed(e.Start) }

// startsIn names what an entry's outline overlaps by more than touch, or nothing.
func (e Entry) startsIn(c Config, index int, outline geom.Polygon, touch float64) string {
	for j, other := range c.Robots[:index] {
		if geom.Depth(outline, other.outline()) > touch {
			return fmt.Sprintf("robot %d (%s)", j+1, other.Spec.Title)
		}
	}
	for i, p := range c.Field.Pieces {
		k := c.Field.PieceKinds[p.Kind]
		switch {
		case p.Goal >= 0 || c.Field.LoadOf(i) >= 0 || p.Robot >= 0 && hasSide(c.Robots, p.Robot):
		case k.Corners == 0 && discDepth(outline, p.At.At(), k.Radius) > touch,
			k.Corners > 0 && geom.Depth(outline, k.Outline().Placed(p.At)) > touch:
			return p.Name
		}
	}
	for _, g := range c.Field.Goals {
		k := c.Field.GoalKinds[g.Kind]
		if !k.Fixed && geom.Depth(outline, hull(k.Shape).Placed(g.At)) > touch {
			return g.Name
		}
	}
	return ""
}

func hasSide(robots []Entry, side int) bool {
	for _, e := range robots {
		if e.Side == side {
			return true
		}
	}
	return false
}
