package gains

import (
	"chalkfield/internal/base/geom"
	"context"
	"fmt"
	"math"
)

// Relay swings a loop by a relay in place of its controller, and gives the gain and the period of that. It is false
// where nothing swings.
func (b *Bench) Relay(ctx context.Context, l Loop) (Ultimate, bool, error) {
	t := try{loop: l, gains: l.InFile(b.Robot), in: Cases[0], seconds: ringing, wanted: b.size(l) / 10}
	t.gains.D = 0
	m := b.Robot.Model()
	var height float64
	// A drive's loop asks for a speed up to what a motion may have: with a gain without bounds it is a relay.
	const end = `{jump = true, within = 0.001, timeout = %g, speed = %.6g, gains = {%s = 1000}}`
	switch l.Kind {
	case Straight:
		height = relaySpeed * m.TopSpeed()
		t.body = fmt.Sprintf("bot.drive:ahead(%.6g, "+end+")", t.wanted*1000, t.seconds, height*1000, "along")
	case Turn:
		height = relaySpeed * m.TopSpeed() / m.Track * 2
		t.body = fmt.Sprintf("bot.drive:face(%.6g, "+end+")", geom.Degrees(t.wanted), t.seconds, geom.Degrees(height),
			"heading")
	default:
		o := b.Robot.Parts[l.Part].Lift
		t.from = b.at(l, liftFrom+liftStep/2)
		target, read := t.from+t.wanted, "angle"
		if o.Elevator {
			read = "height"
		}
		held := o.Holds(b.Robot, target)
		needs, _ := o.Lifts(b.Robot, target)
		motor := b.Robot.Motors[o.Motor]
		height = relayVolts*motor.Nominal + math.Abs(needs*motor.Nominal/motor.StallCurrent-held) // beyond friction
		t.body = fmt.Sprintf(`while true do
  if lift:%s() < %.9g then lift:volts(%.6g) else lift:volts(%.6g) end
  wait(0.01)
end`, read, b.inLua(l, target), held+height, held-height)
	}
	c, err := b.run(ctx, t)
	if err != nil {
		return Ultimate{}, false, err
	}
	wave, swings := Swings(c.T, c.Is, 0)
	return ByRelay(height, wave), swings, nil
}

// Table are the gains of Ziegler and Nichols' table for a loop; false where a relay does not make it swing.
func (b *Bench) Table(ctx context.Context, l Loop) (Values, bool, error) {
	u, swings, err := b.Relay(ctx, l)
	if err != nil || !swings {
		return Values{}, false, err
	}
	return l.byTable(u, l.Computed(b.Robot).Hold), true, nil
}

// The heights of relays: small, so that motors and tyres give what is asked for.
const (
	relaySpeed = 0.1 // of a drive's top speed
	relayVolts = 0.2 // of a lift's nominal volts, beyond what friction takes
)
