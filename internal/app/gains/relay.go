package gains

import (
	"context"
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
)

// Relay swings a loop by a relay in place of its controller, and gives the gain and the period of that. It is false
// where nothing swings. A relay is a tick late at times, locks its period to ticks, and shakes loose what friction
// would hold. So what it shows is where one looks for the least gain with which P alone, with no more than the relay's
// height, swings on: there it is at its ends for the least time, and the gain of its first harmonic is all but its own.
func (b *Bench) Relay(ctx context.Context, l Loop) (Ultimate, bool, error) {
	height := b.relayHeight(l)
	wave, swings, err := b.swing(ctx, l, height, math.Inf(1))
	if err != nil || !swings {
		return Ultimate{}, false, err
	}
	found := ByRelay(height, wave)
	low, high, slope := 0.0, math.Inf(1), found.Gain
	for range smoother {
		wave, swings, err = b.swing(ctx, l, height, slope)
		switch {
		case err != nil:
			return Ultimate{}, false, err
		case swings:
			high, found = slope, BySaturation(height, slope, wave)
		default:
			low = slope
		}
		switch {
		case math.IsInf(high, 0):
			slope = 1.5 * low
		case low == 0:
			slope = high / 1.5
		default:
			slope = math.Sqrt(low * high)
		}
	}
	found.Gain = math.Max(found.Gain, low)
	return found, true, nil
}

// smoother is how many gains are tried instead of a relay.
const smoother = 7

// relayHeight is what the relay gives a loop: m/s, rad/s or V.
func (b *Bench) relayHeight(l Loop) float64 {
	m := b.Robot.Model()
	switch l.Kind {
	case Straight:
		return relaySpeed * m.TopSpeed()
	case Turn:
		return relaySpeed * m.TopSpeed() / m.Track * 2
	}
	o := b.Robot.Parts[l.Part].Lift
	nominal := b.Robot.Motors[o.Motor].Nominal
	return math.Max(relayVolts*nominal, nominal-math.Abs(o.Holds(b.Robot, b.at(l, swingAt))))
}

// swing is what a P controller of a gain makes of a loop, with no more than a height.
func (b *Bench) swing(ctx context.Context, l Loop, height, slope float64) (Wave, bool, error) {
	t := try{loop: l, in: Cases[0], seconds: ringing, wanted: small * b.size(l), open: true}
	slope = math.Min(slope, sharp)
	if l.Kind != Lift {
		slope = math.Min(slope, sharpest)
	}
	// A drive's loop asks for a speed up to what a motion may have.
	const end = `{jump = true, within = 0.001, timeout = %g, speed = %.6g, gains = {%s = %.9g}}`
	switch l.Kind {
	case Straight:
		t.gains.P = slope
		t.body = fmt.Sprintf("bot.drive:ahead(%.6g, "+end+")", t.wanted*1000, t.seconds, height*1000, "along", slope)
	case Turn:
		t.gains.P = slope
		t.body = fmt.Sprintf("bot.drive:face(%.6g, "+end+")", geom.Degrees(t.wanted), t.seconds, geom.Degrees(height),
			"heading", slope)
	default:
		o := b.Robot.Parts[l.Part].Lift
		if math.Abs(o.Holds(b.Robot, b.at(l, swingAt))) > b.Robot.Motors[o.Motor].Nominal { // too weak to be held there
			return Wave{}, false, nil
		}
		t.from = b.at(l, swingAt) - t.wanted
		target, read := b.at(l, swingAt), "angle"
		if o.Elevator {
			read = "height"
		}
		t.body = fmt.Sprintf(`while true do
  lift:volts(%.6g + math.max(-%[2]g, math.min(%[2]g, %.9g * (%.9g - lift:%s()))))
  wait(0.01)
end`, o.Holds(b.Robot, target), height, slope/b.inLua(l, 1), b.inLua(l, target), read)
	}
	c, err := b.run(ctx, t)
	if err != nil {
		return Wave{}, false, err
	}
	wave, swings := Swings(c.T, c.Is, b.little(l))
	return wave, swings, nil
}

// nudge is a small step in a case, long enough to see whether the loop rings. A drive has no more speed than a relay's
// then, as one that follows a plan needs little.
func (b *Bench) nudge(ctx context.Context, l Loop, v Values, in Case) (rings bool, err error) {
	t := try{loop: l, gains: v, in: in, seconds: ringing, wanted: small * b.size(l)}
	const end = "{jump = true, within = 0.001, timeout = %g, speed = %.6g}"
	switch height := b.relayHeight(l); l.Kind {
	case Straight:
		t.body = fmt.Sprintf("bot.drive:ahead(%.6g, "+end+")", t.wanted*1000, t.seconds, height*1000)
	case Turn:
		t.body = fmt.Sprintf("bot.drive:face(%.6g, "+end+")", geom.Degrees(t.wanted), t.seconds, geom.Degrees(height))
	default:
		t.from = b.at(l, swingAt) - t.wanted
		t.body = fmt.Sprintf("lift:to(%.9g)", b.inLua(l, b.at(l, swingAt)))
	}
	c, err := b.run(ctx, t)
	if err != nil {
		return false, err
	}
	if _, rings = Swings(c.T, c.Is, b.little(l)); !rings {
		_, rings = Trembles(c.T, c.Is, b.little(l))
	}
	return rings, nil
}

// little is a swing that is none: 2 % of a small step, and what a lift's sensor does not see.
func (b *Bench) little(l Loop) float64 {
	little := within * small * b.size(l)
	if l.Kind == Lift {
		little = math.Max(little, b.Robot.Parts[l.Part].Lift.Sensor)
	}
	return little
}

// Table are the gains of Ziegler and Nichols' table for a loop; false where a relay does not make it swing.
func (b *Bench) Table(ctx context.Context, l Loop) (Values, bool, error) {
	u, swings, err := b.Relay(ctx, l)
	if err != nil || !swings {
		return Values{}, false, err
	}
	return l.byTable(u, l.Computed(b.Robot).Hold), true, nil
}

// A relay's swing: small, so that motors and tyres give what is asked for.
const (
	relaySpeed = 0.1 // of a drive's top speed
	relayVolts = 0.2 // of a lift's nominal volts, at least; what its weight leaves, as friction holds what is small
	swingAt    = liftFrom + liftStep/2
	small      = 0.1    // of the step
	sharp      = 1e9    // a gain that is a relay
	sharpest   = 1000.0 // 1/s: the most that a motion takes
)
