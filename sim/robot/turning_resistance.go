package robot

import "math"

// Gravity is the standard acceleration of free fall, m/s^2 (exact by definition, CGPM 1901).
const Gravity = 9.80665

// WheelLoads is the weight on each wheel of the level robot, N: a rigid chassis on equal springs, a plane a + b x + c y
// over the wheels whose sum and first moments balance the weight (statics).
func (r *Robot) WheelLoads() []float64 {
	const tiny = 1e-9 // keeps wheels that stand in one line solvable
	var m [3][4]float64
	for i := range 3 {
		m[i][i] = tiny
	}
	for _, w := range r.Wheels {
		at := [3]float64{1, w.At.X, w.At.Y}
		for i := range 3 {
			for j := range 3 {
				m[i][j] += float64(at[i] * at[j])
			}
		}
	}
	weight, c := r.Chassis.Mass*Gravity, r.Chassis.Centre
	m[0][3], m[1][3], m[2][3] = weight, weight*c.X, weight*c.Y
	plane, solved := solve3(m)
	out := make([]float64, len(r.Wheels))
	for i, w := range r.Wheels {
		out[i] = weight / float64(len(out))
		if solved {
			out[i] = max(0, plane[0]+float64(plane[1]*w.At.X)+float64(plane[2]*w.At.Y))
		}
	}
	return out
}

// tyreForce is the force (N) of the floor on the robot at a wheel whose contact slips with u along and s across (m/s).
// a and b are the friction limits in N, creep the slip at which each is reached alone. The force stays within the
// friction ellipse, and slip beyond the creep is normal to it (maximum dissipation), as the world's tyres have it:
//
//	u = -(P/a) (creep + l/a),  s = -(Q/b) (creep + l/b),  l >= 0,  (P/a)^2 + (Q/b)^2 <= 1
func tyreForce(u, s, a, b, creep float64) (along, across float64) {
	if a == 0 || b == 0 {
		return 0, 0
	}
	// Newton on 1 - 1/|x(l)|, which is nearly straight in l, climbs to the root from l = 0 without passing it.
	var l float64
	for range 30 {
		x, y := u/(creep+l/a), s/(creep+l/b)
		n2 := float64(x*x) + float64(y*y)
		n := math.Sqrt(n2)
		if n-1 < 1e-12 {
			break
		}
		l += (n - 1) * n2 / (x*x/(float64(a*creep)+l) + y*y/(float64(b*creep)+l))
	}
	return -a * u / (creep + l/a), -b * s / (creep + l/b)
}

// spin is a steady turn on the spot.
type spin struct {
	track float64 // m: (right - left train speed) / turning rate
	force float64 // N: what each train must push with, forwards on the right and backwards on the left
}

// spinAt solves the steady turn on the spot at a rate in rad/s: the sideways drift of the middle for which the side
// forces balance, and the trains' speed for which the moments do. Wheels far from the turning axis are dragged
// sideways, and the trains must turn faster than the plain geometry says.
func (r *Robot) spinAt(rate float64) spin {
	loads, c := r.WheelLoads(), r.Chassis.Centre
	balance := func(speed, drift float64) (side, moment, push float64) {
		for i, w := range r.Wheels {
			x, y := w.At.X-c.X, w.At.Y-c.Y
			u, s := 0.0, drift+float64(rate*x)
			switch w.Train {
			case Left:
				u = float64(-rate*y) + speed
			case Right:
				u = float64(-rate*y) - speed
			}
			p, q := tyreForce(u, s, w.Along*loads[i], w.Across*loads[i], r.Drive.Creep)
			side += q
			moment += float64(x*q) - float64(y*p)
			switch w.Train {
			case Left:
				push -= float64(p / 2)
			case Right:
				push += float64(p / 2)
			}
		}
		return side, moment, push
	}
	reach := rate * 10
	drift := func(speed float64) float64 {
		return root(-reach, reach, func(d float64) float64 { s, _, _ := balance(speed, d); return s })
	}
	speed := root(0, reach, func(v float64) float64 { _, m, _ := balance(v, drift(v)); return -m })
	_, _, force := balance(speed, drift(speed))
	return spin{2 * speed / rate, force}
}

// root is where a falling function meets zero, by false position with the Illinois halving (Dowell & Jarratt, BIT 11,
// 1971; from memory).
func root(low, high float64, f func(float64) float64) float64 {
	atLow, atHigh := f(low), f(high)
	tiny := 1e-13 * (high - low)
	var last float64 // side of the last point
	for range 100 {
		if high-low < tiny || atLow <= 0 || atHigh >= 0 {
			break
		}
		x := (float64(low*atHigh) - float64(high*atLow)) / (atHigh - atLow)
		switch y := f(x); {
		case math.Abs(y) < 1e-12:
			return x
		case y > 0:
			low, atLow = x, y
			if last > 0 {
				atHigh /= 2
			}
			last = 1
		default:
			high, atHigh = x, y
			if last < 0 {
				atLow /= 2
			}
			last = -1
		}
	}
	if math.Abs(atLow) < math.Abs(atHigh) {
		return low
	}
	return high
}

// PlainTrack is the distance between the trains' mean wheel places, m.
func (r *Robot) PlainTrack() float64 {
	var y, n [3]float64
	for _, w := range r.Wheels {
		y[w.Train] += w.At.Y
		n[w.Train]++
	}
	if n[Left] == 0 || n[Right] == 0 {
		return 0
	}
	return y[Left]/n[Left] - y[Right]/n[Right]
}

// EffectiveTrack is the track width that odometry should use, m: the trains' speed difference over the turning rate in
// a steady turn on the spot at half the free speed. Greater than PlainTrack where wheels scrub.
func (r *Robot) EffectiveTrack() float64 { return r.turning().track }

func (r *Robot) turning() spin {
	plain := r.PlainTrack()
	if plain <= 0 || r.Chassis.Mass <= 0 || r.Drive.Creep <= 0 || r.Drive.Motor < 0 {
		return spin{plain, 0} // an unusable file, reported elsewhere
	}
	return r.spinAt(r.FreeSpeed() / plain)
}

// MeanRadius is the one radius that a program takes both sides' wheels for where it makes travel of turns, m.
func (r *Robot) MeanRadius() float64 { return (r.Radius(Left) + r.Radius(Right)) / 2 }

// Radius is that of a train's wheels, m; NaN without any.
func (r *Robot) Radius(t Train) float64 {
	for _, w := range r.Wheels {
		if w.Train == t {
			return w.Radius
		}
	}
	return math.NaN()
}
