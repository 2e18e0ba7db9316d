package worth

import (
	"context"
	"fmt"
	"math"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// hand is a way to take pieces: at a place of the robot, along its length.
type hand struct {
	name      string
	reach     float64 // m ahead of the robot's point; negative: behind
	tolerance float64 // m to the side
	seconds   float64
	only      bool // keeps what it takes: no scorer has it
}

// server is a way to put pieces into goals.
type server struct {
	name              string
	at                geom.Pose // where it leaves a piece, and which way
	offset            float64   // m to the side
	angle             float64   // rad
	seconds           float64   // for a piece
	lift              int       // -1: none
	reach             float64   // m from a fixed goal
	clamps            bool      // into a goal that a clamp holds
	holds             int       // pieces that it may put there one after another
	claw              bool      // has only what it took itself
	crooked, softness float64   // m to the side from which a piece waits for a next one, 0: none does; see sim.Captures
}

// has tells whether a server has what a hand took; no hand: what was loaded.
func (s *server) has(h *hand) bool {
	if s == nil {
		return true
	}
	if h == nil {
		return !s.claw
	}
	if s.claw {
		return s.name == h.name
	}
	return !h.only
}

// machine is what a robot can do with pieces and goals.
type machine struct {
	spec      *robot.Robot
	hands     []hand
	servers   []server
	clamp     *robot.Clamp
	clampName string
	lifts     map[string]float64 // s to a named height
}

// farthest is how far the robot reaches from its middle, m.
func (m *machine) farthest() float64 {
	return portable.Hypot(m.spec.Chassis.Length, m.spec.Chassis.Width) / 2
}

// working is the share of the battery's volts with which motors work.
const working = 0.85

func newMachine(ctx context.Context, r *robot.Robot) (*machine, error) {
	m := &machine{spec: r, lifts: map[string]float64{}}
	for _, p := range r.Parts {
		switch {
		case p.Intake != nil:
			low, high := p.Intake.Mouth.Bounds()
			middle := (low.X + high.X) / 2
			speed := m.surface(p.Intake.Powered, p.Intake.Radius)
			m.hands = append(m.hands, hand{p.Name, middle, (high.Y - low.Y) / 2, (high.X - low.X) / speed, false})
		case p.Claw != nil:
			m.hands = append(m.hands, hand{p.Name, p.Claw.At.X, p.Claw.Offset, 2 * p.Claw.Piston.Time, p.Claw.Gives < 0})
			m.servers = append(m.servers, server{name: p.Name, at: p.Claw.At, offset: p.Claw.Offset, angle: math.Pi / 2,
				seconds: 2 * p.Claw.Piston.Time, lift: p.Claw.Lift, reach: p.Claw.Reach, holds: 1, claw: true})
		case p.Scorer != nil:
			belt := r.Parts[p.Scorer.From].Conveyor
			seconds := (belt.Length - held(r, p.Scorer.From)) / m.surface(belt.Powered, belt.Radius)
			m.servers = append(m.servers, server{name: p.Name, at: p.Scorer.At, offset: p.Scorer.Offset, angle: p.Scorer.Angle,
				seconds: seconds, lift: p.Scorer.Lift, reach: p.Scorer.Reach, clamps: p.Scorer.Clamp >= 0, holds: belt.Slots,
				crooked: p.Scorer.Crooked, softness: p.Scorer.Softness})
		case p.Clamp != nil:
			m.clamp, m.clampName = p.Clamp, p.Name
		case p.Lift != nil:
			for _, h := range p.Lift.Heights {
				seconds, err := m.raises(ctx, p, h)
				if err != nil {
					return nil, err
				}
				m.lifts[h.Name] = math.Max(m.lifts[h.Name], seconds)
			}
		}
	}
	return m, nil
}

// held is where along a conveyor its optical sensor holds a piece until it is put, m: it gets there during the drive.
func held(r *robot.Robot, conveyor int) float64 {
	for _, s := range r.Sensors {
		if s.Kind == robot.Optical && s.Optical.On == conveyor {
			return s.Optical.Along
		}
	}
	return 0
}

// surface is the speed of a powered roller or belt, m/s.
func (m *machine) surface(p robot.Powered, radius float64) float64 {
	motor := m.spec.Motors[p.Motor]
	return working * m.spec.Battery.Open / motor.Nominal * motor.FreeSpeed / p.Gear * radius
}

// raises rehearses how long a lift takes from where it starts to a height, s.
func (m *machine) raises(ctx context.Context, p robot.Part, h robot.Height) (float64, error) {
	text := fmt.Sprintf(`return routine {title = "lift", auto = function(bot)
  local r = bot[%q]:reach(%q, 4)
  result("took", r.took, "s")
end}`, p.Name, h.Name)
	floor, err := fields.Parse("floor.toml", []byte(fields.BareText("an empty floor", 6, 6, 5)))
	if err != nil {
		return 0, err
	}
	return m.took(ctx, floor, text, geom.Pose{X: 3, Y: 3})
}

// took rehearses a routine on a field, and is the result that it gives, s; 0 where it gives none.
func (m *machine) took(ctx context.Context, f *fields.Field, text string, start geom.Pose) (float64, error) {
	rec, err := m.rehearsed(ctx, f, text, start)
	if err != nil {
		return 0, err
	}
	for _, e := range rec.Events {
		if e.Kind == record.Result {
			return e.Value, nil
		}
	}
	return 0, nil
}

// rehearsed is a rehearsal of a routine without any spread.
func (m *machine) rehearsed(ctx context.Context, f *fields.Field, text string, start geom.Pose) (
	*record.Record, error) {
	program, err := scripting.LoadTexts("worth.lua", map[string]string{"worth.lua": text})
	if err != nil {
		return nil, err
	}
	return rehearse.Run(ctx, rehearse.Setup{Field: f, Nominal: true, Sparse: true,
		Entrants: []rehearse.Entrant{{Robot: m.spec, Routine: program, Start: &start}}})
}

// sideways is the standard deviation to the side after a way: what the start is off, and its heading over the way.
func (m *machine) sideways(way float64) float64 {
	s := &m.spec.Spread
	return portable.Hypot(s.StartAt, s.StartHeading*way)
}
