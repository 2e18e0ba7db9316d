package gains

import (
	"math"

	"chalkfield/internal/base/portable"
)

// Ultimate is the gain at which a loop with P alone swings for ever, and the time of a swing.
type Ultimate struct {
	Gain   float64 `json:"gain"`
	Period float64 `json:"period"` // s
}

// ByRelay estimates it from the swing that a relay of a height makes: 4 d / (pi a), the relay's gain for its first
// harmonic (Astrom & Hagglund, Automatic tuning of simple regulators with specifications on phase and amplitude
// margins, Automatica 20(5), 1984). Of a plant that lets higher harmonics through it is off: by 19 % too low for an
// integrator with a dead time.
func ByRelay(height float64, w Wave) Ultimate {
	return Ultimate{4 * height / (math.Pi * w.Amplitude), w.Period}
}

// BySaturation is the same for a controller of a gain that gives a height at most: the gain of its first harmonic is
//
//	N = (2 k/pi) (asin(r) + r sqrt(1 - r^2)),   r = d/(k a)
//
// (Khalil, Nonlinear Systems, 7.2, from memory), that of a relay where k is large.
func BySaturation(height, slope float64, w Wave) Ultimate {
	r := height / slope / w.Amplitude
	switch {
	case r < 1e-3:
		return ByRelay(height, w)
	case r >= 1:
		return Ultimate{slope, w.Period}
	}
	return Ultimate{2 * slope / math.Pi * (portable.Asin(r) + float64(r*math.Sqrt(1-float64(r*r)))), w.Period}
}

// ZieglerNichols are the gains of the table for P alone and for PID (Trans. ASME 64, 1942): 0.5 Ku; 0.6 Ku with an
// integral time of Tu/2 and a derivative time of Tu/8.
func (u Ultimate) ZieglerNichols() (p, pid Values) {
	gain := 0.6 * u.Gain
	return Values{P: 0.5 * u.Gain}, Values{P: gain, I: gain / (u.Period / 2), D: gain * u.Period / 8}
}

// Edge is how far something may rise until a loop rings: up to At; More if it does not even at the most, which is At;
// 0 if it rings at the least already.
type Edge struct {
	At   float64 `json:"at"`
	More bool    `json:"more"`
}

// edge looks for it between a least and a most, by doubling and halving, to a share of it.
func edge(least, most float64, holds func(float64) (bool, error)) (Edge, error) {
	low, high := 0.0, least
	for {
		ok, err := holds(high)
		if err != nil || ok && high >= most {
			return Edge{high, ok}, err
		}
		if !ok {
			break
		}
		low, high = high, math.Min(most, 2*high)
	}
	for low > 0 && high-low > exact*high {
		middle := math.Sqrt(low * high)
		ok, err := holds(middle)
		switch {
		case err != nil:
			return Edge{}, err
		case ok:
			low = middle
		default:
			high = middle
		}
	}
	return Edge{At: low}, nil
}

// exact is the share of an edge to which it is found.
const exact = 0.02
