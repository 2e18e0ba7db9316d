package sim

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
	"gonum.org/v1/gonum/spatial/r2"
)

const (
	// moved is how far a piece goes on a conveyor before the chassis' mass and centre are brought up to date, m.
	moved = 0.04
	// holdGain drives a piece back to its hold, V per m: full voltage at about 60 mm.
	holdGain = 200.0
	// held is how near to its hold a piece stands when it counts as held, m.
	held = 0.01
	// stuckFor is how long a piece stands at an end against the belt before that is a jam, s.
	stuckFor = 0.15
	// tipping is the least belt speed (m/s) at which a piece leaves at an end.
	tipping = 0.02
)

// conveyor carries pieces in order. A piece's place is its distance along the belt from the intake end, m. The belt
// moves all pieces alike; one that is stopped (by the piece ahead, or at an end) lets the belt slip under it.
type conveyor struct {
	powered
	name    string
	spec    *robot.Conveyor
	between float64   // m: least distance of two pieces
	pieces  []*riding // front (the far end) first
	takers  []*scorer // at the far end
	gates   []*gate
	hold    float64 // m: where its optical sensor looks, -1: none
	holding bool    // commanded to hold
	cruise  float64 // V before the hold
	jammed  bool    // a piece at an end can go nowhere
	stuck   float64 // s for which it could not
	refused *Body   // the goal that did not take the front piece, which has not moved since
}

// riding is a piece on the belt.
type riding struct {
	body  *Body
	at    float64 // m along
	known float64 // m: place that the chassis' mass was last computed for
}

func newConveyor(r *Robot, p robot.Part) mechanism {
	c := &conveyor{powered: newPowered(r, p.Conveyor.Powered, p.Conveyor.Radius), name: p.Name, spec: p.Conveyor, hold: -1}
	c.between = c.spec.Length / float64(c.spec.Slots)
	return c
}

func (c *conveyor) link() {
	for i, p := range c.robot.Spec.Parts {
		if p.Kind == robot.KindScorer && c.robot.mechanisms[p.Scorer.From] == mechanism(c) {
			c.takers = append(c.takers, c.robot.mechanisms[i].(*scorer))
		}
	}
	for _, s := range c.robot.Spec.Sensors {
		if s.Kind == robot.Optical && c.robot.mechanisms[s.Optical.On] == mechanism(c) && c.hold < 0 {
			c.hold = s.Optical.Along
		}
	}
}

// open tells whether a piece can come on at the intake end.
func (c *conveyor) open() bool {
	n := len(c.pieces)
	return !c.full() && (n == 0 || c.pieces[n-1].at >= c.between)
}

// full tells whether it has as many pieces as it can.
func (c *conveyor) full() bool { return len(c.pieces) >= c.spec.Slots }

// shutOut tells whether no piece can come on at the intake end and none will: it is full, or stands with one at the
// entrance.
func (c *conveyor) shutOut() bool {
	return c.full() || !c.open() && math.Abs(c.surface()) <= tipping
}

// enter takes a piece on at the intake end.
func (c *conveyor) enter(b *Body) { c.put(b, len(c.pieces), 0) }

// openAtEnd tells whether a piece can be put on at the far end.
func (c *conveyor) openAtEnd() bool {
	return len(c.pieces) < c.spec.Slots && (len(c.pieces) == 0 || c.pieces[0].at <= c.spec.Length-c.between)
}

// put takes a piece on, as number index from the front.
func (c *conveyor) put(b *Body, index int, at float64) {
	c.pieces = append(c.pieces, nil)
	copy(c.pieces[index+1:], c.pieces[index:])
	c.pieces[index] = &riding{body: b, at: at, known: at}
	if b.Holder == record.HeldByRobot(c.robot.Index) {
		c.robot.world.carry(b, c.place(at))
		return
	}
	c.robot.world.take(b, c.robot, c.place(at))
}

// preload puts a piece on before the start, behind those that are on already.
func (c *conveyor) preload(b *Body) bool {
	at := c.spec.Length - float64(c.between*float64(len(c.pieces)+1))
	if len(c.pieces) == c.spec.Slots {
		return false
	}
	c.put(b, len(c.pieces), math.Max(0, at))
	return true
}

// place is where a piece rides, in the robot's frame: on the line from the intake end to the far end.
func (c *conveyor) place(at float64) geom.Pose {
	share := at / c.spec.Length
	v := r2.Add(geom.Scale(1-share, c.spec.Exit), geom.Scale(share, c.spec.Out.At()))
	return geom.Pose{X: v.X, Y: v.Y}
}

func (c *conveyor) step(dt float64) {
	if c.volts == 0 && c.speed == 0 {
		c.applied = 0
		return
	}
	c.turn(dt, c.spec.Load*c.radius*float64(len(c.pieces)))
	c.move(c.surface() * dt)
}

// move shifts the pieces by what the belt moved, each no farther than the next one or the end allows.
func (c *conveyor) move(by float64) {
	if by >= 0 {
		limit := c.spec.Length
		for _, p := range c.pieces {
			p.at = c.barred(p.at, math.Max(p.at, math.Min(p.at+by, limit)))
			limit = p.at - c.between
		}
		return
	}
	limit := 0.0
	for i := len(c.pieces) - 1; i >= 0; i-- {
		p := c.pieces[i]
		p.at = c.barred(p.at, math.Min(p.at, math.Max(p.at+by, limit)))
		limit = p.at + c.between
	}
}

// barred is how far a piece gets on its way for the gates.
func (c *conveyor) barred(from, to float64) float64 {
	for _, g := range c.gates {
		to = g.bar(from, to)
	}
	return to
}

// tick lets pieces off at the ends, holds, and tells the chassis where its load is.
func (c *conveyor) tick() {
	if c.holding {
		c.keep()
	}
	if len(c.pieces) == 0 {
		return
	}
	c.letOff()
	for _, p := range c.pieces {
		p.body.at = c.place(p.at)
		if math.Abs(p.at-p.known) > moved {
			p.known = p.at
			c.robot.world.carry(p.body, p.body.at)
		}
	}
}

// letOff tries to get rid of a piece that the belt presses against an end, and notices a jam.
func (c *conveyor) letOff() {
	front, back := c.pieces[0], c.pieces[len(c.pieces)-1]
	if front.at < c.spec.Length {
		c.refused = nil
	}
	var gone bool
	var goal string // that refuses it
	switch {
	case c.surface() > tipping && front.at >= c.spec.Length:
		gone, goal = c.leaveFront()
	case c.surface() < -tipping && back.at <= 0:
		at := geom.Pose{X: c.spec.Exit.X, Y: c.spec.Exit.Y, Heading: c.backwards()}
		gone = c.tip(len(c.pieces)-1, at, c.name)
	case front.at < c.spec.Length && back.at > 0:
		c.stuck, c.jammed = 0, false
		return
	default: // at an end, the belt at rest or running away from it
		return
	}
	if gone {
		c.stuck, c.jammed = 0, false
		return
	}
	c.stuck += ControlTick
	if c.stuck >= stuckFor && !c.jammed {
		c.jammed = true
		jam := record.Event{Kind: record.Jammed, What: c.name, Piece: front.body.Name, Goal: goal}
		if goal == "" {
			jam.Reason = record.NoRoom
		}
		c.robot.happen(jam, front.body)
	}
}

// leaveFront offers the front piece to the scorers; if none has a goal for it, it tips out onto the floor. A goal that
// has refused a piece is not tried again before the piece has been drawn back.
func (c *conveyor) leaveFront() (gone bool, refused string) {
	b := c.pieces[0].body
	for _, s := range c.takers {
		goal := s.target(b)
		switch {
		case goal == nil:
			continue
		case goal != c.refused && s.score(b, goal):
			c.off(0)
			return true, ""
		}
		c.refused = goal
		return false, goal.Name
	}
	return c.tip(0, c.spec.Out, c.name), ""
}

// backwards is the direction in which pieces leave at the intake end, robot frame.
func (c *conveyor) backwards() float64 {
	d := r2.Sub(c.spec.Exit, c.spec.Out.At())
	return portable.Atan2(d.Y, d.X)
}

// tip drops a piece onto the floor at a pose of the robot's frame, with the belt's speed along its heading, if it has
// room there; part is what lets it go. A piece in its way is pushed on.
func (c *conveyor) tip(index int, out geom.Pose, part string) bool {
	w, b, at := c.robot.world, c.pieces[index].body, c.robot.Pose().Compose(out)
	vx, vy, _ := c.robot.Velocity()
	speed := geom.Scale(math.Abs(c.surface()), geom.Unit(at.Heading))
	if !w.clear(at.At(), b.radius) {
		w.shove(at.At(), b.radius, speed)
		return false
	}
	c.off(index)
	w.drop(b, at, geom.Vec{X: vx + speed.X, Y: vy + speed.Y})
	c.robot.happen(record.Event{Kind: record.Release, What: b.Name, Part: part}, b)
	return true
}

// off forgets a piece.
func (c *conveyor) off(index int) {
	c.pieces = append(c.pieces[:index], c.pieces[index+1:]...)
}

// keep drives the belt so that the first piece that has not passed the hold by more than half a slot stands at it,
// pushing it back as it drifts. Until one is near the belt runs on as it did.
func (c *conveyor) keep() {
	c.volts = c.cruise
	for _, p := range c.pieces {
		if off := c.hold - p.at; off > -c.between/2 {
			if off*holdGain < math.Abs(c.cruise) || c.cruise == 0 {
				c.volts = geom.Clamp(off*holdGain, -12, 12)
			}
			return
		}
	}
}

// atHold is whether a piece stands where it is to be kept.
func (c *conveyor) atHold() bool {
	for _, p := range c.pieces {
		if c.hold >= 0 && math.Abs(p.at-c.hold) <= held {
			return true
		}
	}
	return false
}

// seen is the first piece that covers a place along the belt, nil for none.
func (c *conveyor) seen(along float64) *Body {
	for _, p := range c.pieces {
		if math.Abs(p.at-along) <= p.body.radius {
			return p.body
		}
	}
	return nil
}

func (c *conveyor) do(cmd robot.Command) {
	switch cmd.Verb {
	case robot.Volts:
		c.holding, c.volts = false, cmd.Value
	case robot.Hold:
		if c.hold < 0 { // nothing to hold by: stop the belt
			c.holding, c.volts = false, 0
			return
		}
		if !c.holding {
			c.holding, c.cruise = true, c.volts
		}
	}
}

func (c *conveyor) look() robot.Status {
	return robot.Status{
		Count: len(c.pieces), Holding: c.holding && c.atHold(), Moving: math.Abs(c.surface()) > tipping, Jammed: c.jammed,
		Value: c.surface(), Volts: c.applied, Amps: c.taken(), Heat: c.line.Heat(),
	}
}

func (c *conveyor) sample() record.PartSample {
	s := record.PartSample{Volts: record.Round(c.applied), Value: float64(len(c.pieces)), Body: -1}
	if len(c.pieces) > 0 {
		s.Body = c.pieces[0].body.ID
	}
	return s
}

func (c *conveyor) repeat(s record.PartSample) { c.holding, c.volts = false, s.Volts }
