package sim

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// controller is the drive's motor controller where a file gives it faults: a command reaches it late, counts as 0 V
// within the dead band, and its volts change no faster than it can. The three are common practice, no source; the
// dead band is that of a stick's neutral: beyond it the command is given as it is. (One that were taken off every
// command instead would be told from friction by nothing that a log has.)
//
// Commands stand until the next, so that volts are straight lines over time, and their mean over a step is exact. It
// is what the motors are given in the step; the world begins one where a command arrives. So a latency or slew that
// differs by little makes little difference, whatever the step. Motors that coast at 0 V have their own voltage for
// that part of the step, which makes no current.
type controller struct {
	latency float64 // s
	slew    float64 // V/s; 0: no limit
	band    float64 // V

	now   float64    // s since the start
	asked [2]float64 // V: last command
	want  [2]float64 // V: of those that have arrived the last, past the dead band
	volts [2]float64 // V: given at the step's end
	onWay []command  // not yet arrived
}

// command is one that arrives at a time (s).
type command struct {
	at    float64
	volts [2]float64
}

// instant is how near to a step's end or begin a command counts as arriving there, s: the clock's rounding is far less.
const instant = 1e-9

// newController is nil where the controller does at once as it is told.
func newController(d robot.Drive) *controller {
	if d.Latency == 0 && d.Slew == 0 && d.DeadBand == 0 {
		return nil
	}
	return &controller{latency: d.Latency, slew: d.Slew, band: d.DeadBand}
}

// next is how long it takes until a command arrives, s, of those on their way and what is asked for now; what arrives
// at once does not count.
func (c *controller) next(asked [2]float64) float64 {
	for _, q := range c.onWay {
		if left := q.at - c.now; left > instant {
			return left
		}
	}
	if asked != c.asked && c.latency > instant {
		return c.latency
	}
	return math.Inf(1)
}

// give is the mean of the volts at each side's motors over the next dt seconds, as they are asked for now (V), and the
// share of that time in which they are 0; the controller has no more than most.
func (c *controller) give(asked [2]float64, most, dt float64) (mean, off [2]float64) {
	if asked != c.asked {
		c.asked = asked
		c.onWay = append(c.onWay, command{c.now + c.latency, asked})
	}
	end := c.now + dt
	if c.volts == c.want && (len(c.onWay) == 0 || c.onWay[0].at >= end-instant) {
		c.now = end
		for side, v := range c.volts {
			if v == 0 {
				off[side] = 1
			}
		}
		return c.volts, off
	}
	var sum, without integral
	arrived := 0
	for ; arrived < len(c.onWay) && c.onWay[arrived].at < end-instant; arrived++ {
		q := &c.onWay[arrived]
		if q.at > c.now+instant {
			c.pass(&sum, &without, q.at-c.now)
			c.now = q.at
		}
		c.arrive(q.volts, most)
	}
	c.onWay = c.onWay[:copy(c.onWay, c.onWay[arrived:])]
	c.pass(&sum, &without, end-c.now)
	c.now = end
	return sum.over(dt), without.over(dt)
}

// integral is that of a value of each side over time.
type integral [2]float64

func (i integral) over(seconds float64) [2]float64 { return [2]float64{i[0] / seconds, i[1] / seconds} }

// arrive takes a command.
func (c *controller) arrive(volts [2]float64, most float64) {
	for side, v := range volts {
		if math.Abs(v) < c.band {
			v = 0
		}
		c.want[side] = geom.Clamp(v, -most, most)
	}
}

// pass lets some seconds go by and adds the volts' integral over them to sum, V s, and to without the time at 0 V.
func (c *controller) pass(sum, without *integral, seconds float64) {
	for side, want := range c.want {
		gap := want - c.volts[side]
		changing := 0.0 // s
		if c.slew > 0 {
			changing = math.Abs(gap) / c.slew
		}
		end := want
		if changing > seconds {
			changing = seconds
			end = c.volts[side] + math.Copysign(c.slew*seconds, gap)
		}
		sum[side] += float64((c.volts[side]+end)/2*changing) + float64(end*(seconds-changing))
		if end == 0 {
			without[side] += seconds - changing
		}
		c.volts[side] = end
	}
}

// cut takes the volts off at once and forgets what is on its way.
func (c *controller) cut() {
	c.asked, c.want, c.volts, c.onWay = [2]float64{}, [2]float64{}, [2]float64{}, c.onWay[:0]
}
