package motion

// Slew limits how fast a value may change.
type Slew struct{}

// NewSlew makes a limiter that starts at a value and changes by at most rise and fall per second (away from zero and
// towards zero).
func NewSlew(start, rise, fall float64) (*Slew, error) { return &Slew{}, nil }

// Update moves towards the wanted value for dt seconds and returns where it is.
func (s *Slew) Update(want, dt float64) float64 { return 0 }
