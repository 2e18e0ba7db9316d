package motion

import (
	"fmt"
	"math"
)

// Slew limits how fast a value may change.
type Slew struct{ value, rise, fall float64 }

// NewSlew makes a limiter that starts at a value and changes by at most rise (away from zero) and fall (towards zero)
// per second, both positive.
func NewSlew(start, rise, fall float64) (*Slew, error) {
	if math.IsNaN(start) || math.IsInf(start, 0) {
		return nil, &ArgumentError{"slew", "start", fmt.Sprintf("must be a finite number, not %v", start)}
	}
	if err := positive("slew", "rise", rise); err != nil {
		return nil, err
	}
	if err := positive("slew", "fall", fall); err != nil {
		return nil, err
	}
	return &Slew{start, rise, fall}, nil
}

// Update moves towards the wanted value for dt seconds and returns where it is. A wanted value or a dt that is not
// finite changes nothing.
func (s *Slew) Update(want, dt float64) float64 {
	if math.IsNaN(want) || math.IsInf(want, 0) || !(dt > 0) || math.IsInf(dt, 0) {
		return s.value
	}
	if s.value*want < 0 { // first down to zero, then up on the other side with the time that is left
		if need := math.Abs(s.value) / s.fall; need >= dt {
			s.value -= math.Copysign(s.fall*dt, s.value)
			return s.value
		} else {
			s.value, dt = 0, dt-need
		}
	}
	limit := s.rise * dt
	if math.Abs(want) < math.Abs(s.value) {
		limit = s.fall * dt
	}
	s.value += max(-limit, min(limit, want-s.value))
	return s.value
}

// Value is where the limiter is.
func (s *Slew) Value() float64 { return s.value }
