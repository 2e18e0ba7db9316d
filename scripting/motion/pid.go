package motion

// PIDSettings are the gains and limits of a PID controller. Units are those of the caller.
type PIDSettings struct {
	P, I, D   float64 // output per error, per error and second, per error rate
	Filter    float64 // s: time constant of the derivative's low-pass; 0: none
	Low, High float64 // output limits; both 0: unlimited
}

// PID is a controller with derivative on the measurement and anti-windup by clamping.
type PID struct{ s PIDSettings }

// NewPID checks the settings.
func NewPID(s PIDSettings) (*PID, error) { return &PID{s: s}, nil }

// Update takes the wanted and the measured value and returns the output. dt is the time since the last call, s.
func (c *PID) Update(want, measured, dt float64) float64 { return 0 }

// Terms are the three parts of the last output, before the limits.
func (c *PID) Terms() (p, i, d float64) { return 0, 0, 0 }

// Reset forgets the integral and the last measurement.
func (c *PID) Reset() {}
