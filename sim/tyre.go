package sim

import "math"

// gripEllipse finds the tyre's impulse: along and across together within the ellipse (p/a)^2 + (q/b)^2 <= 1, with a and
// b the friction limits in N s (the friction ellipse of tyre models: Rajamani, Vehicle Dynamics and Control; from memory).
//
// p, q are the impulses that would stop the slip altogether; kp, kq how much slip speed one unit of each undoes
// (1/kg). Inside the ellipse they are the answer. Outside, the answer is the impulse that leaves the least slip energy,
// the projection in the metric kp, kq: there the remaining slip is normal to the ellipse, which is the rule of maximum
// dissipation (Moreau, 1970s; Goyal, Ruina, Papadopoulos 1991 for friction's limit surface; from memory). It means that a
// roller that slips freely sideways hardly loses its grip along.
func gripEllipse(p, q, kp, kq, a, b float64) (float64, float64) {
	x, y := p/a, q/b
	if x*x+y*y <= 1 {
		return p, q
	}
	// Scaled to the unit circle the answer is x_i = h_i x_i / (h_i + s) for the s >= 0 that puts it on the circle.
	// Newton on 1 - 1/|x(s)|, which is nearly straight in s, climbs to the root from s = 0 without passing it.
	hx, hy := kp*a*a, kq*b*b
	var s float64
	for range 12 {
		u, v := hx*x/(hx+s), hy*y/(hy+s)
		n2 := u*u + v*v
		n := math.Sqrt(n2)
		if n-1 < 1e-9 {
			break
		}
		s += (n - 1) * n2 / (u*u/(hx+s) + v*v/(hy+s))
	}
	x, y = hx*x/(hx+s), hy*y/(hy+s)
	n := math.Max(1, math.Hypot(x, y))
	return a * x / n, b * y / n
}
