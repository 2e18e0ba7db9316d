package motion

import (
	"chalkfield/internal/base/portable"
)

// trackingError is the reference pose as seen from the robot: x ahead, y to the left (m), heading (rad) with its sine
// and cosine.
type trackingError struct{ x, y, heading, sin, cos float64 }

func newTrackingError(x, y, heading float64) trackingError {
	s, c := portable.Sincos(heading)
	return trackingError{x, y, heading, s, c}
}

// trackingGains of the law: kx in 1/s, ky in 1/m^2, kHeading in 1/m.
type trackingGains struct{ kx, ky, kHeading float64 }

// track gives speed and turning rate that bring a robot onto a reference moving at vr, wr:
//
//	v = vr cos(th_e) + kx x_e
//	w = wr + vr (ky y_e + kth sin(th_e))
//
// Kanayama, Kimura, Miyazaki & Noguchi, A stable tracking control method for an autonomous mobile robot, ICRA 1990.
func track(vr, wr float64, e trackingError, k trackingGains) (v, w float64) {
	return float64(vr*e.cos) + float64(k.kx*e.x), wr + float64(vr*(float64(k.ky*e.y)+float64(k.kHeading*e.sin)))
}

// sideDamping is the damping ratio of the sideways error. Linearised at a steady speed the law gives
// y” + kth vr y' + ky vr^2 y = 0, so zeta = kth / (2 sqrt(ky)) (same paper).
const sideDamping = 0.7

// scheduled turns a heading gain in 1/s into gains of the law at a reference speed vr: kth vr is then that gain at
// every speed, and the sideways error decays in the same time. Below slow (m/s) ky stays as it is there, so that it
// does not grow without bound; the heading is held even at rest, by the caller (vr kth has a limit at 0 that track
// cannot form).
func scheduled(g Gains, vr, slow float64) trackingGains {
	speed := max(vr, slow)
	kHeading := g.HeadingP / speed
	ky := kHeading / (2 * sideDamping)
	return trackingGains{kx: g.AlongP, ky: ky * ky, kHeading: kHeading}
}
