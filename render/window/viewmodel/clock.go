package viewmodel

import (
	"math"
	"slices"
)

// Clock is where in the record the viewer is.
type Clock struct {
	Time    float64 // s since the start of the session
	Playing bool
	Rate    float64 // seconds of record a second of watching
	End     float64 // s: the last sample's time
}

// rates are the speeds of watching, slowest first.
var rates = [...]float64{0.1, 0.25, 0.5, 1, 2, 4, 8}

// Advance moves on by seconds of watching. At the end the clock stops.
func (c *Clock) Advance(seconds float64) {
	if !c.Playing || c.End == 0 {
		return
	}
	c.Time += seconds * c.Rate
	if c.Time >= c.End {
		c.Time, c.Playing = c.End, false
	}
}

// Toggle starts or stops; from the end it starts over.
func (c *Clock) Toggle() {
	if !c.Playing && c.Time >= c.End {
		c.Time = 0
	}
	c.Playing = !c.Playing
}

// Pause stops where it is.
func (c *Clock) Pause() { c.Playing = false }

// GoTo stops, and goes to a time.
func (c *Clock) GoTo(t float64) {
	c.Pause()
	c.Seek(t)
}

// Seek goes to a time and keeps playing if it was.
func (c *Clock) Seek(t float64) { c.Time = math.Max(0, math.Min(t, c.End)) }

// Step stops and goes a number of samples on, or back where it is negative, to a sample's own time.
func (c *Clock) Step(samples int, period float64) {
	c.Playing = false
	c.Seek((math.Round(c.Time/period) + float64(samples)) * period)
}

// Faster and Slower change the rate by one step.
func (c *Clock) Faster() { c.shift(1) }
func (c *Clock) Slower() { c.shift(-1) }

func (c *Clock) shift(by int) {
	c.Rate = rates[min(max(slices.Index(rates[:], c.Rate)+by, 0), len(rates)-1)]
}
