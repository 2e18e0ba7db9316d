package sim

import "math"

// slideSpin is how a uniform disc's floor friction is shared between sliding and spinning: force and torque as shares
// of mu m g and of mu m g R, tabled by the mix R w/(v + R w) from pure sliding (0) to pure spin (1).
//
// A disc under pressure that is the same everywhere and Coulomb friction at each point, e = v/(R w) (Farkas, Bartels,
// Unger, Wolf, Phys. Rev. Lett. 90, 248302, 2003, closed form from memory, checked against quadrature in the tests):
//
//	e <= 1: F = 4/(3 pi e) [(e^2+1) E(e) + (e^2-1) K(e)]
//	        T = 4/(9 pi)   [(4-2 e^2) E(e) + (e^2-1) K(e)]
//	e >= 1: F = 4/(3 pi)   [(e^2+1) E(1/e) - (e^2-1) K(1/e)]
//	        T = 4 e/(9 pi) [(4-2 e^2) E(1/e) + (2 e^2-5+3/e^2) K(1/e)]
//
// with K, E the complete elliptic integrals of the modulus given. A polygon uses the same shares with the R that gives
// its own torque arm in pure spin, 2R/3 for a disc.
type slideSpin struct {
	force, torque [shares + 1]float64 // by the mix of motion
	wrench        [shares + 1]float64 // limit of a push: force + torque, by the mix torque/(force + torque) of the push
}

const shares = 128

// discFriction is the table for the uniform disc; it is never written after the program's start.
var discFriction = newSlideSpin()

func newSlideSpin() *slideSpin {
	var s slideSpin
	for i := range s.force {
		s.force[i], s.torque[i] = discShares(float64(i) / shares)
	}
	j := 0
	for i := range s.wrench {
		mix := float64(float64(i) / shares)
		for j < shares-1 && mixOf(s.force[j+1], s.torque[j+1]) < mix {
			j++
		}
		s.wrench[i] = chord(s.force[j], s.torque[j], s.force[j+1], s.torque[j+1], mix)
	}
	return &s
}

// mixOf is the share of the second in the sum of two sizes; 0 when there is nothing to share.
func mixOf(along, around float64) float64 {
	if sum := along + around; sum > 0 {
		return around / sum
	}
	return 0
}

// chord is x + y where the ray of a mix y/(x + y) meets the line through two points.
func chord(x0, y0, x1, y1, mix float64) float64 {
	return (float64(x0*y1) - float64(x1*y0)) / (float64((1-mix)*(y1-y0)) - float64(mix*(x1-x0)))
}

// discShares evaluates the closed form at a mix.
func discShares(mix float64) (force, torque float64) {
	const edge = 1e-6
	if mix < edge {
		return 1, 0
	}
	if mix > 1-edge {
		return 0, 2.0 / 3
	}
	e := 1/mix - 1
	if math.Abs(e-1) < edge { // K diverges, its factor vanishes
		return 8 / (3 * math.Pi), 8 / (9 * math.Pi)
	}
	q := float64(e * e)
	if e < 1 {
		k, l := elliptic(q)
		return 4 / (3 * math.Pi * e) * (float64((q+1)*l) + float64((q-1)*k)), 4 / (9 * math.Pi) * (float64((4-2*q)*l) +
			float64((q-1)*k))
	}
	k, l := elliptic(1 / q)
	return 4 / (3 * math.Pi) * (float64((q+1)*l) - float64((q-1)*k)), 4 * e / (9 * math.Pi) * (float64((4-2*q)*l) +
		float64((2*q-5+3/q)*k))
}

// at gives the shares at sliding speed v and rim speed rw, both >= 0.
func (s *slideSpin) at(v, rw float64) (force, torque float64) {
	i, part := cell(mixOf(v, rw))
	return s.force[i] + float64(part*(s.force[i+1]-s.force[i])), s.torque[i] + float64(part*(s.torque[i+1]-s.torque[i]))
}

// limit is the greatest sum of force and torque shares, in the proportion given, that friction withstands without any
// motion.
func (s *slideSpin) limit(force, torque float64) float64 {
	i, part := cell(mixOf(force, torque))
	return s.wrench[i] + float64(part*(s.wrench[i+1]-s.wrench[i]))
}

// cell is where a mix lies in the tables.
func cell(mix float64) (int, float64) {
	x := float64(mix * shares)
	i := min(int(x), shares-1)
	return i, x - float64(i)
}
