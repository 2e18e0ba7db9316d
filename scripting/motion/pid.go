package motion

import (
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
)

// PIDSettings are the gains and limits of a PID controller. Units are those of the caller.
type PIDSettings struct {
	P, I, D   float64 // output per error, per error and second, per error rate
	Filter    float64 // s: time constant of the derivative's low-pass; 0: none
	Low, High float64 // output limits; both 0: unlimited
}

// PID is a controller with derivative on the measurement and anti-windup by clamping:
//
//	u = P e + I integral(e) - D dy_f/dt,  Filter dy_f/dt + y_f = y
//
// in backward differences (Astrom & Hagglund, Advanced PID Control, 2006, ch. 3 and 13). The integral stands still
// while the output is at a limit and the error would push it further.
type PID struct {
	s       PIDSettings
	i       float64 // integral part of the output
	d       float64 // derivative part of the output
	p       float64 // proportional part of the output
	last    float64 // measurement of the last call
	out     float64
	running bool // last is valid
}

// NewPID checks the settings: every number finite, Filter not negative, Low below High.
func NewPID(s PIDSettings) (*PID, error) {
	for _, n := range []struct {
		name  string
		value float64
	}{{"p", s.P}, {"i", s.I}, {"d", s.D}, {"filter", s.Filter}, {"low", s.Low}, {"high", s.High}} {
		if math.IsNaN(n.value) || math.IsInf(n.value, 0) {
			return nil, &ArgumentError{"pid", n.name, fmt.Sprintf("must be a finite number, not %v", n.value)}
		}
	}
	if s.Filter < 0 {
		return nil, &ArgumentError{"pid", "filter", fmt.Sprintf("must not be negative: it is %g s", s.Filter)}
	}
	if s.Low > s.High || s.Low == s.High && s.Low != 0 {
		return nil, &ArgumentError{"pid", "low", fmt.Sprintf("must be below high: they are %g and %g", s.Low, s.High)}
	}
	return &PID{s: s}, nil
}

// Update takes the wanted and the measured value and returns the output. dt is the time since the last call, s. Numbers
// that are not finite, or a dt that is not positive, leave the controller and its output as they were.
func (c *PID) Update(want, measured, dt float64) float64 {
	e := want - measured
	if !(dt > 0) || math.IsInf(dt, 0) || math.IsNaN(e) || math.IsInf(e, 0) {
		return c.out
	}
	if !c.running {
		c.last, c.running = measured, true
	}
	c.p = float64(c.s.P * e)
	c.d = (float64(c.s.Filter*c.d) - float64(c.s.D*(measured-c.last))) / (c.s.Filter + dt)
	c.last = measured

	step := float64(c.s.I * e * dt)
	free := c.p + c.i + step + c.d
	c.out = c.limit(free)
	if c.out == free || (free-c.out)*step < 0 {
		c.i += step
	}
	return c.out
}

func (c *PID) limit(u float64) float64 {
	if c.s.Low == 0 && c.s.High == 0 {
		return u
	}
	return geom.Clamp(u, c.s.Low, c.s.High)
}

// Terms are the three parts of the last output, before the limits.
func (c *PID) Terms() (p, i, d float64) { return c.p, c.i, c.d }

// Reset forgets the integral and the last measurement.
func (c *PID) Reset() { *c = PID{s: c.s} }
