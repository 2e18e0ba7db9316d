package scripting

import (
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// warned is a call that has been warned of: its line, and what is called there.
type warned struct {
	at   place
	call string
}

// warn leaves a warning about the call, once for each line: why it cannot work, and what to write instead.
func (c call) warn(why, instead string) {
	key := warned{call: c.name()}
	key.at = c.host.here(c.LState)
	if c.host.warned[key] {
		return
	}
	c.host.warned[key] = true
	c.host.say(c.LState, record.Event{Kind: record.Warning, What: key.call, Text: key.call + ": " + why, Instead: instead})
}

// warnOfVolts warns of more volts than the charged battery has.
func (c call) warnOfVolts(volts float64) {
	if charge := c.host.env.Charge; charge > 0 && math.Abs(volts) > charge {
		c.warn(fmt.Sprintf("%.4g V are more than the charged battery has", math.Abs(volts)),
			fmt.Sprintf("it is %.4g V: write from %.4g to %.4g, what is beyond has no effect", charge, -charge, charge))
	}
}

// warnOfPlace warns of a place (m, in the routine's frame) that is off the field.
func (c call) warnOfPlace(at geom.Vec) {
	floor := c.host.env.Floor
	if floor == nil || floor.Contains(c.host.env.Frame.Point(at)) {
		return
	}
	low, high := floor.Bounds()
	a, b := c.host.env.Frame.Point(low), c.host.env.Frame.Point(high)
	low = geom.Vec{X: math.Min(a.X, b.X), Y: math.Min(a.Y, b.Y)}
	high = geom.Vec{X: math.Max(a.X, b.X), Y: math.Max(a.Y, b.Y)}
	if geom.Rect(low, high).Contains(at) {
		c.warn(pointText(at)+" is off the field, in a corner that its floor does not have",
			"write a place on the floor")
		return
	}
	c.warn(pointText(at)+" is off the field",
		fmt.Sprintf("write a place on it, in mm: it lies from %s to %s", pointText(low), pointText(high)))
}
