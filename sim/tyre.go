package sim

import "math"

// tyre is the friction of one wheel on the floor: along and across its rolling direction together within the ellipse
// (p/a)^2 + (q/b)^2 <= 1, with a and b the friction limits in N s of a step (the friction ellipse of tyre models:
// Rajamani, Vehicle Dynamics and Control; from memory).
type tyre struct {
	p, q  float64 // N s of this step, along and across, on the robot
	a, b  float64 // N s: their limits
	softP float64 // 1/kg: creep per unit of p
	softQ float64
	over  float64 // kg N^2 s^2: multiplier of the ellipse, kept as the next search's start

	// Of the step, so that the solver's rounds need few divisions.
	invA, invB float64 // 1/a, 1/b
	mp, mq     float64 // kg: impulse that undoes a unit of slip speed, the tyre's own creep included
	hx, hy     float64 // a^2/mp, b^2/mq
}

// set prepares a step: limits a, b (N s), slip speeds undone by a unit of impulse (1/kg), and the slip speed (m/s) at
// which the tyre gives all its friction.
func (t *tyre) set(a, b, kp, kq, creep float64) {
	t.a, t.b = a, b
	t.invA, t.invB = 1/a, 1/b
	t.softP, t.softQ = float64(creep*t.invA), float64(creep*t.invB)
	t.mp, t.mq = 1/(kp+t.softP), 1/(kq+t.softQ)
	t.hx, t.hy = (kp+t.softP)*a*a, (kq+t.softQ)*b*b
	x, y := t.p*t.invA, t.q*t.invB
	if n2 := float64(x*x) + float64(y*y); n2 > 1 { // last step's impulses within this step's limits
		n := 1 / math.Sqrt(n2)
		t.p, t.q = t.p*n, t.q*n
	}
}

// stop gives the impulses that would stop slip speeds u along and s across altogether.
func (t *tyre) stop(u, s float64) (p, q float64) {
	return t.p - float64((u+float64(t.softP*t.p))*t.mp), t.q - float64((s+float64(t.softQ*t.q))*t.mq)
}

// holds reports whether impulses lie inside the ellipse: then those that stop the slip are the tyre's answer.
func (t *tyre) holds(p, q float64) bool {
	x, y := p*t.invA, q*t.invB
	return float64(x*x)+float64(y*y) <= 1
}

// slide brings impulses that would stop the slip, but lie outside the ellipse, to what the tyre answers.
//
// The answer is the impulse that leaves the least slip energy, the projection in the metric 1/mp, 1/mq: there the
// remaining slip is normal to the ellipse, which is the rule of maximum dissipation (Moreau; Goyal, Ruina, Papadopoulos
// 1991 for limit surfaces of friction; from memory). It means that a roller that slips freely sideways hardly loses its
// grip along.
//
// Scaled to the unit circle the projection is x_i h_i/(h_i + over), h_x = a^2/mp, for the over >= 0 that puts it on the
// circle. Each call takes one Newton step on 1 - 1/|x|, which is nearly straight in over, and goes on from there when
// called again; what is returned always lies within the ellipse.
func (t *tyre) slide(p, q float64) (float64, float64) {
	x, y := p*t.invA, q*t.invB
	gx, gy := 1/(t.hx+t.over), 1/(t.hy+t.over)
	u, v := t.hx*x*gx, t.hy*y*gy
	n2 := float64(u*u) + float64(v*v)
	slope := float64(u*u*gx) + float64(v*v*gy)
	if !(n2 > 0.8 && n2 < 1.25) {
		return t.slideFar(x, y, n2, slope)
	}
	// Near the circle, as after the first call nearly always, each operation waits for the one before, so that roots and
	// divisions cost most. All but one are replaced by what differs only in higher order of the step, which ends at
	// nothing:
	// |x| - 1 by 2 (x^2 - 1)/(x^2 + 3), the way by its tangent, 1/|x| by its tangent (3 - x^2)/2, which is never greater.
	step := 2 * (n2 - 1) * n2 / ((n2 + 3) * slope)
	if step < -t.over {
		step = -t.over
	}
	u, v = u*(1-float64(gx*step)), v*(1-float64(gy*step))
	m2 := float64(u*u) + float64(v*v)
	if m2 > 1.5 { // a tyre that hardly holds one way: its tangent leads far away, and beyond 3 the other way
		return t.slideFar(x, y, n2, slope)
	}
	t.over += step
	n := 1.5 - float64(0.5*m2)
	return t.a * u * n, t.b * v * n
}

// slideFar is slide's step where it is long, from a point whose square is n2 now and falls as slope says.
func (t *tyre) slideFar(x, y, n2, slope float64) (float64, float64) {
	t.over = max(0, t.over+(math.Sqrt(n2)-1)*n2/slope)
	x *= t.hx / (t.hx + t.over)
	y *= t.hy / (t.hy + t.over)
	if n2 = float64(x*x) + float64(y*y); n2 > 1 {
		n := 1 / math.Sqrt(n2)
		x, y = x*n, y*n
	}
	return t.a * x, t.b * y
}
