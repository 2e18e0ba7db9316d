package gains

import (
	"context"
	"fmt"
	"math"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// Bench is an empty floor on which a robot's loops are tried.
type Bench struct {
	Robot *robot.Robot
	floor *fields.Field
}

const (
	tick      = rehearse.ControlTick // s
	floorSide = 12.0                 // m
	longest   = 20.0                 // s
	atRest    = 1.0                  // s before a lift's step, in which it comes to its begin
	ready     = 0.2                  // s before a drive's
	after     = 3.0                  // s from a step, or a ramp's begin, to the end
	ringing   = 6.0                  // s, where one looks whether a loop rings
)

// NewBench makes one for a robot.
func NewBench(r *robot.Robot) (*Bench, error) {
	floor, err := fields.Parse("floor.toml", []byte(fields.BareText("an empty floor", floorSide, floorSide, longest)))
	return &Bench{r, floor}, err
}

// try is what is done with a loop.
type try struct {
	loop    Loop
	gains   Values
	in      Case
	seconds float64 // from the begin on
	body    string  // of the routine, behind its wait
	from    float64 // of a lift: where it starts
	ramp    float64 // of a lift: what is wanted more each second
	wanted  float64 // of a step; 0: the plan of a motion, or a ramp, says it
	open    bool    // of a lift: its own controller is left out
}

// Step is a loop's step with gains in a case.
func (b *Bench) Step(ctx context.Context, l Loop, v Values, in Case) (*Curve, error) {
	return b.step(ctx, l, v, in, after)
}

func (b *Bench) step(ctx context.Context, l Loop, v Values, in Case, seconds float64) (*Curve, error) {
	t := try{loop: l, gains: v, in: in, seconds: seconds, wanted: b.size(l)}
	end := fmt.Sprintf("{jump = true, within = 0.001, timeout = %g}", seconds)
	switch l.Kind {
	case Straight:
		t.body = fmt.Sprintf("bot.drive:ahead(%g, %s)", t.wanted*1000, end)
	case Turn:
		t.body = fmt.Sprintf("bot.drive:face(%g, %s)", geom.Degrees(t.wanted), end)
	default:
		t.from = b.at(l, liftFrom)
		t.body = fmt.Sprintf("lift:to(%.9g)", b.inLua(l, t.from+t.wanted))
	}
	return b.run(ctx, t)
}

// Of a lift's way between its stops: where a step begins, and how large it is; where a ramp begins, and how long it is.
const (
	liftFrom, liftStep = 0.4, 0.2
	rampFrom, rampLong = 0.2, 0.6
)

// The steps of a drive: small, so that motors and tyres give what is asked for.
const (
	straightStep = 0.15               // m
	turnStep     = 30 * math.Pi / 180 // rad
)

// size is that of a loop's step, m or rad.
func (b *Bench) size(l Loop) float64 {
	switch l.Kind {
	case Straight:
		return straightStep
	case Turn:
		return turnStep
	}
	o := b.Robot.Parts[l.Part].Lift
	return liftStep * (o.High - o.Low)
}

// at is a place on a lift's way, a share of it from the lower stop.
func (b *Bench) at(l Loop, share float64) float64 {
	o := b.Robot.Parts[l.Part].Lift
	return o.Low + float64(share*(o.High-o.Low))
}

// inLua is a lift's position as routines have it.
func (b *Bench) inLua(l Loop, at float64) float64 {
	if b.Robot.Parts[l.Part].Lift.Elevator {
		return at * 1000
	}
	return geom.Degrees(at)
}

// Ramp is a loop that follows what moves steadily: a drive's motion at half of its speed, a lift's position that is set
// anew in every tick.
func (b *Bench) Ramp(ctx context.Context, l Loop, v Values) (*Curve, error) {
	t := try{loop: l, gains: v, in: Cases[0], seconds: after}
	m := b.Robot.Model()
	switch l.Kind {
	case Straight:
		speed := m.TopSpeed() / 2
		t.body = fmt.Sprintf("bot.drive:ahead(%.6g, {speed = %.6g})", math.Min(2*speed, floorSide/2-1)*1000, speed*1000)
	case Turn:
		t.body = fmt.Sprintf("bot.drive:face(170, {speed = %.6g})", geom.Degrees(m.TopSpeed()/m.Track*2/4))
	default:
		o := b.Robot.Parts[l.Part].Lift
		long := rampLong * (o.High - o.Low)
		t.from, t.ramp = b.at(l, rampFrom), long/2
		if kv, _ := o.Volts(b.Robot); long/2 > m.Volts/kv/2 { // half of its free speed
			t.ramp = m.Volts / kv / 2
		}
		t.body = fmt.Sprintf(`for i = 1, 200 do lift:to(%.9g + i*%.9g) wait(0.01) end`, b.inLua(l, t.from),
			b.inLua(l, t.ramp)*tick)
	}
	return b.run(ctx, t)
}

// run rehearses a try and reads its curve from the record.
func (b *Bench) run(ctx context.Context, t try) (*Curve, error) {
	known := t.loop.In(t.loop.alone(b.Robot), t.gains)
	lead, begin := ready, ""
	if t.loop.Kind == Lift {
		known = t.loop.withLift(known, func(o *robot.Lift) { o.Start = t.from })
		lead = atRest
		begin = fmt.Sprintf(`local lift = bot[%q]
task(function() while true do signal("amps", lift:amps(), "A") wait(0.01) end end)
`, t.loop.Name)
		if !t.open {
			begin += fmt.Sprintf("lift:to(%.9g)", b.inLua(t.loop, t.from))
		}
	}
	text := fmt.Sprintf("return routine {title = 'gains', auto = function(bot)\n%s\nwait(%g)\n%s\nend}", begin, lead,
		t.body)
	routine, err := scripting.LoadTexts("gains.lua", map[string]string{"gains.lua": text})
	if err != nil {
		return nil, fmt.Errorf("the routine of %s: %w", t.loop.Name, err)
	}
	floor := *b.floor
	floor.Phases = append([]fields.Phase(nil), floor.Phases...)
	floor.Phases[0].Seconds = lead + t.seconds
	start := geom.Pose{X: floorSide / 2, Y: floorSide / 2}
	rec, err := rehearse.Run(ctx, rehearse.Setup{Field: &floor, Nominal: true, Fine: true,
		Entrants: []rehearse.Entrant{{Robot: t.in.of(known, t.loop), Known: known, Routine: routine, Start: &start}}})
	if err != nil {
		return nil, err
	}
	for _, e := range rec.Events {
		if e.Kind == record.Failure {
			return nil, fmt.Errorf("%s: %s", t.loop.Name, e.Text)
		}
	}
	return t.read(rec, lead), nil
}

// read takes the curve from a record, from the step on.
func (t *try) read(rec *record.Record, lead float64) *Curve {
	const slack = 1e-9
	c := &Curve{}
	var amps []float64
	if t.loop.Kind == Lift {
		amps = rec.SignalValues(0, 0)
	}
	var from record.Pose
	var asked, before, zero float64
	for i := range rec.Samples {
		s := &rec.Samples[i]
		r, now := &s.Robots[0], s.T-lead
		if now < -slack {
			continue
		}
		if len(c.T) == 0 {
			from, zero = r.Belief, t.value(r, r.Belief)
		}
		c.T = append(c.T, now)
		c.Is = append(c.Is, t.value(r, from)-zero)
		if amps == nil {
			c.Amps = append(c.Amps, math.Abs(r.Amps[0])+math.Abs(r.Amps[1]))
		} else {
			c.Amps = append(c.Amps, math.Abs(amps[i]))
		}
		switch {
		case t.wanted != 0:
			c.Wanted = append(c.Wanted, t.wanted)
		case t.loop.Kind == Lift:
			c.Wanted = append(c.Wanted, t.ramp*math.Min(now, 2))
		default:
			want := r.Want[t.loop.Kind]
			asked += float64((want + before) / 2 * tick)
			before = want
			c.Wanted = append(c.Wanted, asked)
		}
	}
	return c
}

// value is the loop's quantity as its controller sees it, a drive's from a pose on.
func (t *try) value(r *record.RobotSample, from record.Pose) float64 {
	switch t.loop.Kind {
	case Straight:
		return from.Geom().ToLocal(r.Belief.Geom().At()).X
	case Turn:
		return r.Belief[2]
	}
	return r.Parts[t.loop.Part].Value
}
