package motion

import "math"

// crawl is the least speed that a plan has between its ends, m/s: a kink would otherwise take for ever.
const crawl = 0.01

// time plans the speeds along the curve, from a speed to a speed (m/s), and from them the times. First each node's own
// limit, then a pass forwards that speeds up no faster and a pass backwards that brakes no faster than the machine can
// (the phase-plane method for a given path: Bobrow, Dubowsky & Gibson, IJRR 4(3), 1985; on a grid as in Lynch & Park
// 9.4).
func (c *curve) time(a *ability, reverse bool, from, to float64) {
	stand := a.footing(reverse)
	n := c.nodes
	last := len(n) - 1
	for i := range n {
		rate := c.bendRate(i)
		n[i].speed = max(crawl, min(a.curveSpeed(n[i].bend, rate), stand.speed(n[i].bend, rate)))
	}
	n[0].speed = min(n[0].speed, max(from, 0))
	n[last].speed = min(n[last].speed, max(to, 0))
	for i := range last {
		if n[i+1].speed > n[i].speed {
			reach := float64(2 * c.speedingUp(a, stand, i) * (n[i+1].s - n[i].s))
			n[i+1].speed = min(n[i+1].speed, math.Sqrt(float64(n[i].speed*n[i].speed)+reach))
		}
	}
	for i := last; i > 0; i-- {
		if n[i-1].speed > n[i].speed {
			reach := float64(2 * c.braking(a, stand, i) * (n[i].s - n[i-1].s))
			n[i-1].speed = min(n[i-1].speed, math.Sqrt(float64(n[i].speed*n[i].speed)+reach))
		}
	}
	for i := range last {
		n[i+1].t = n[i].t + 2*(n[i+1].s-n[i].s)/max(crawl, n[i].speed+n[i+1].speed)
	}
}

// bendRate is d bend / d s at a node, 1/m^2.
func (c *curve) bendRate(i int) float64 {
	a, b := &c.nodes[max(i-1, 0)], &c.nodes[min(i+1, len(c.nodes)-1)]
	if b.s <= a.s {
		return 0
	}
	return (b.bend - a.bend) / (b.s - a.s)
}

// curveSpeed is the greatest speed at a bend (1/m) that changes by bendRate (1/m^2): the motors' speed at the outer
// train, the tyres' side grip v = sqrt(a_side/|bend|) (Meriam & Kraige, Dynamics), the turning rate v |bend|, and the
// turning acceleration v^2 |bendRate|.
func (a *ability) curveSpeed(bend, bendRate float64) float64 {
	bend, bendRate = math.Abs(bend), math.Abs(bendRate)
	v := min(a.speed, a.topSpeed(bend))
	if bend > 1e-9 {
		v = min(v, math.Sqrt(a.side/bend), a.turnRate/bend)
	}
	if bendRate > 1e-9 {
		v = min(v, math.Sqrt(a.turnAccel/bendRate))
	}
	return v
}

// gripAlong is the acceleration that the tyres have left in a curve: the friction ellipse
// a_x = a_max sqrt(1 - (v^2 bend/a_side)^2) (Rajamani, Vehicle Dynamics and Control).
func (a *ability) gripAlong(speed, bend float64) float64 {
	side := min(1, speed*speed*math.Abs(bend)/a.side)
	return a.accel * max(0.1, math.Sqrt(1-float64(side*side)))
}

// turnAlong is the acceleration along a curve that keeps the turning acceleration bend x a in its limit.
func (a *ability) turnAlong(bend float64) float64 {
	return a.turnAccel / max(math.Abs(bend), 1e-9)
}

// speedingUp is what the machine can do at a node.
func (c *curve) speedingUp(a *ability, stand *footing, i int) float64 {
	n := &c.nodes[i]
	return min(a.gripAlong(n.speed, n.bend), a.turnAlong(n.bend), a.voltAccel(n.speed, n.bend), c.borne(a, stand, i, 1))
}

// braking is the same of slowing down.
func (c *curve) braking(a *ability, stand *footing, i int) float64 {
	n := &c.nodes[i]
	return min(a.gripAlong(n.speed, n.bend), a.turnAlong(n.bend), a.voltBrake(n.speed, n.bend), c.borne(a, stand, i, -1))
}

// borne is the change of speed at a node that does not tip the robot; way is 1 to speed up, -1 to brake.
func (c *curve) borne(a *ability, stand *footing, i int, way float64) float64 {
	if a.hard || len(stand.sides) == 0 {
		return math.Inf(1)
	}
	return stand.along(c.nodes[i].speed, c.nodes[i].bend, c.bendRate(i), way)
}

// reference is where a plan is at a moment of its own time.
type reference struct {
	node
	accel, turn, turnAccel float64 // m/s^2, rad/s, rad/s^2
}

// reference looks the curve up at plan time t. from is a node at or before it, as found the last time; the node found
// is returned for the next look.
func (c *curve) reference(t float64, from int) (reference, int) {
	last := len(c.nodes) - 1
	for from < last && c.nodes[from+1].t <= t {
		from++
	}
	if from == last {
		return reference{node: c.nodes[last], turn: c.nodes[last].speed * c.nodes[last].bend}, from
	}
	a, b := &c.nodes[from], &c.nodes[from+1]
	span, dt := b.t-a.t, max(0, t-a.t)
	r := reference{accel: (b.speed - a.speed) / span}
	r.speed = a.speed + float64(r.accel*dt)
	r.t, r.s = t, a.s+float64((a.speed+float64(r.accel*dt/2))*dt)
	f := (r.s - a.s) / (b.s - a.s)
	r.at.X = a.at.X + float64(f*(b.at.X-a.at.X))
	r.at.Y = a.at.Y + float64(f*(b.at.Y-a.at.Y))
	r.heading = a.heading + float64(f*(b.heading-a.heading))
	r.bend = a.bend + float64(f*(b.bend-a.bend))
	r.turn = r.speed * r.bend
	r.turnAccel = float64(r.accel*r.bend) + r.speed*r.speed*(b.bend-a.bend)/(b.s-a.s)
	return r, from
}
