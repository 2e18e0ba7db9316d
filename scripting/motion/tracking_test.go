package motion

import (
	"math"
	"testing"
)

// v = v_r cos th_e + Kx x_e, w = w_r + v_r (Ky y_e + Kth sin th_e): Kanayama et al., ICRA 1990 (formula from its
// abstract; the numbers are the formula's).
func TestTrackGivesTheWorkedExample(t *testing.T) {
	v, w := track(0.5, 0.2, newTrackingError(0.05, -0.03, 0.1), trackingGains{2, 16, 8})
	if math.Abs(v-0.597502) > 5e-7 || math.Abs(w-0.359334) > 5e-7 {
		t.Errorf("v %.6f, w %.6f, want 0.597502, 0.359334", v, w)
	}
}

// Linearised, the sideways error is a second-order system with zeta = kth/(2 sqrt(ky)) (same paper), so released at
// rest from an offset it swings past zero by exp(-pi zeta/sqrt(1 - zeta^2)) of it (Astrom & Murray 7.3).
func TestTrackDampsTheSidewaysErrorAsPublished(t *testing.T) {
	const v, dt, offset = 0.8, 1e-4, 0.001
	for _, zeta := range []float64{0.3, 0.5, 0.7} {
		k := trackingGains{kx: 2, ky: 20, kHeading: 2 * zeta * math.Sqrt(20)}
		x, y, heading, past := 0.0, offset, 0.0, 0.0
		for i := range 60_000 { // a point robot follows the x axis
			s, c := math.Sincos(heading)
			ahead := v*float64(i)*dt - x
			e := newTrackingError(c*ahead-s*y, -s*ahead-c*y, -heading)
			speed, turn := track(v, 0, e, k)
			x += speed * c * dt
			y += speed * s * dt
			heading += turn * dt
			past = math.Max(past, -y)
		}
		want := math.Exp(-math.Pi * zeta / math.Sqrt(1-zeta*zeta))
		if got := past / offset; math.Abs(got-want) > 0.01 {
			t.Errorf("zeta %g: swings past by %.4f of the offset, want %.4f", zeta, got, want)
		}
	}
}

func TestScheduledGainsKeepHeadingGainAndDampingAtEverySpeed(t *testing.T) {
	for _, v := range []float64{0.3, 0.7, 2} {
		k := scheduled(Gains{AlongP: 4, HeadingP: 5}, v, 0.25)
		if got := k.kHeading * v; math.Abs(got-5) > 1e-9 {
			t.Errorf("at %g m/s: heading gain %g 1/s, want 5", v, got)
		}
		if got := k.kHeading / (2 * math.Sqrt(k.ky)); math.Abs(got-sideDamping) > 1e-9 {
			t.Errorf("at %g m/s: damping %g, want %g", v, got, sideDamping)
		}
	}
	if slow, slower := scheduled(Gains{4, 5, 0}, 0.25, 0.25), scheduled(Gains{4, 5, 0}, 0, 0.25); slow != slower {
		t.Errorf("gains go on rising below the slowest speed: %+v, %+v", slow, slower)
	}
}
