package sim

import (
	"math"

	"chalkfield/internal/base/record"
	"chalkfield/sim/power"
	"chalkfield/sim/robot"
)

// gate bars its conveyor while it is all the way open: what the belt carries against it leaves there, to the floor or
// onto another conveyor. What has passed it when it opens goes on.
type gate struct {
	robot  *Robot
	name   string
	spec   *robot.Gate
	leaf   leaf
	belt   *conveyor
	into   *conveyor // nil: the floor
	opens  bool      // commanded
	thrown int
	stuck  float64 // s for which a piece could not leave
	jammed bool
}

// leaf is what moves a gate.
type leaf interface {
	swing(open bool) (can bool)
	step(dt float64)
	open() bool // all the way
	moving() bool
}

func newGate(r *Robot, p robot.Part) mechanism {
	g := &gate{robot: r, name: p.Name, spec: p.Gate, opens: p.Gate.Open}
	if p.Gate.Motor != nil {
		f := newFlap(r, p.Gate.Motor, p.Gate.Open)
		g.leaf = f
		return motorGate{g, f}
	}
	piston := power.NewCylinder(p.Gate.Piston, r.air)
	piston.SetOut(p.Gate.Open)
	g.leaf = pushed{piston}
	return g
}

func (g *gate) link() {
	g.belt = g.robot.mechanisms[g.spec.On].(*conveyor)
	g.belt.gates = append(g.belt.gates, g)
	if g.spec.Into >= 0 {
		g.into = g.robot.mechanisms[g.spec.Into].(*conveyor)
	}
}

func (g *gate) step(dt float64) { g.leaf.step(dt) }

// tick lets the piece leave that the belt presses against the open gate, and notices a jam.
func (g *gate) tick() {
	i := g.pressed()
	if i < 0 || g.throw(i) {
		g.stuck, g.jammed = 0, false
		return
	}
	g.stuck += ControlTick
	if g.stuck >= stuckFor && !g.jammed {
		g.jammed = true
		b := g.belt.pieces[i].body
		g.robot.happen(record.Event{Kind: record.Jammed, What: g.name, Piece: b.Name, Reason: record.NoRoom}, b)
	}
}

// pressed is the index of the piece that the belt presses against the open gate, -1: none.
func (g *gate) pressed() int {
	if !g.leaf.open() || math.Abs(g.belt.surface()) <= tipping {
		return -1
	}
	for i, p := range g.belt.pieces {
		if p.at == g.spec.Along {
			return i
		}
	}
	return -1
}

// throw rids the belt of a piece, if there is room where it goes.
func (g *gate) throw(i int) bool {
	switch {
	case g.into == nil:
		if !g.belt.tip(i, g.spec.Out, g.name) {
			return false
		}
	case !g.into.open():
		return false
	default:
		b := g.belt.pieces[i].body
		g.belt.off(i)
		g.into.enter(b)
	}
	g.thrown++
	return true
}

// bar is how far a piece on the belt gets that would go from one place to another, m along.
func (g *gate) bar(from, to float64) float64 {
	at := g.spec.Along
	if (from <= at && at < to || from >= at && at > to) && g.leaf.open() {
		return at
	}
	return to
}

func (g *gate) do(c robot.Command) {
	switch c.Verb {
	case robot.Open:
		g.command(true)
	case robot.Shut:
		g.command(false)
	}
}

func (g *gate) command(open bool) {
	news := g.opens != open
	g.opens = open
	if !g.leaf.swing(open) && news {
		g.robot.happen(record.Event{Kind: record.Missed, What: g.name, Reason: record.NoAir}, nil)
	}
}

func (g *gate) look() robot.Status {
	return robot.Status{Count: g.thrown, Out: g.leaf.open(), Shut: !g.opens, Moving: g.leaf.moving(), Jammed: g.jammed}
}

func (g *gate) sample() record.PartSample {
	return record.PartSample{Value: one(g.opens), Body: -1, Out: g.leaf.open()}
}

func (g *gate) repeat(s record.PartSample) { g.command(s.Value != 0) }

// pushed is a leaf on a piston.
type pushed struct{ *power.Cylinder }

func (p pushed) swing(open bool) bool { p.Out(open); return !p.Blocked() }
func (p pushed) step(dt float64)      { p.Step(dt) }
func (p pushed) open() bool           { return p.Extended() }
func (p pushed) moving() bool         { return p.Moving() }

// motorGate is a gate whose leaf a motor moves.
type motorGate struct {
	*gate
	flap *flap
}

func (g motorGate) load() power.Load { return g.flap.load() }

func (g motorGate) do(c robot.Command) {
	if c.Verb == robot.Volts {
		g.flap.volts = 0
	}
	g.gate.do(c)
}

func (g motorGate) look() robot.Status {
	s := g.gate.look()
	s.Volts, s.Amps, s.Heat = g.flap.applied, g.flap.taken(), g.flap.line.Heat()
	return s
}

func (g motorGate) sample() record.PartSample {
	s := g.gate.sample()
	s.Volts = record.Round(g.flap.applied)
	return s
}

// flap is a leaf on a motor, which drives it against one of two inelastic stops and leaves it there, braked.
type flap struct {
	powered
	spec *robot.Flap
	at   float64 // rad, 0 shut
}

func newFlap(r *Robot, spec *robot.Flap, open bool) *flap {
	f := &flap{powered: newPowered(r, spec.Powered, 1), spec: spec}
	if open {
		f.at = spec.Swing
	}
	return f
}

func (f *flap) swing(open bool) bool {
	switch {
	case open && f.at < f.spec.Swing:
		f.volts = f.spec.Volts
	case !open && f.at > 0:
		f.volts = -f.spec.Volts
	}
	return true
}

func (f *flap) step(dt float64) {
	f.turn(dt, f.spec.Friction)
	f.at += float64(f.speed * dt)
	if f.at <= 0 && f.speed < 0 || f.at >= f.spec.Swing && f.speed > 0 {
		f.at = max(0, min(f.at, f.spec.Swing))
		f.volts, f.speed = 0, 0
	}
}

func (f *flap) open() bool   { return f.at == f.spec.Swing }
func (f *flap) moving() bool { return f.volts != 0 || f.speed != 0 }
