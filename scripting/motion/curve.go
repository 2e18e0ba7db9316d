package motion

import (
	"math"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
)

// node is a point of a planned curve.
type node struct {
	at      geom.Vec
	heading float64 // rad, of travel; continuous along the curve
	bend    float64 // 1/m, curvature, positive to the left
	s       float64 // m from the start of the curve
	speed   float64 // m/s planned here
	t       float64 // s from the start of the curve
}

// curve is a planned curve with its timing, as a dense row of nodes.
type curve struct{ nodes []node }

// Spacing of nodes: fine for what is driven, coarse for what is only compared.
const (
	fine    = 0.008 // m
	coarse  = 0.050 // m
	maxRows = 30000 // nodes at about which the spacing starts to grow with the length
)

func (c *curve) clear() { c.nodes = c.nodes[:0] }

// add appends a point with the direction of travel there. Points that coincide with the last one are dropped.
func (c *curve) add(at geom.Vec, heading float64) {
	n := node{at: at, heading: heading}
	if len(c.nodes) > 0 {
		last := &c.nodes[len(c.nodes)-1]
		step := portable.Hypot(at.X-last.at.X, at.Y-last.at.Y)
		if step < 1e-6 {
			return
		}
		n.s = last.s + step
		n.heading = last.heading + geom.WrapAngle(heading-last.heading)
	}
	c.nodes = append(c.nodes, n)
}

// measure computes the bends from the headings.
func (c *curve) measure() {
	for i := range c.nodes {
		c.bend(i)
	}
}

// bend computes a node's bend: d heading / d s, over the neighbours on both sides.
func (c *curve) bend(i int) float64 {
	a, b := &c.nodes[max(i-1, 0)], &c.nodes[min(i+1, len(c.nodes)-1)]
	if b.s > a.s {
		c.nodes[i].bend = (b.heading - a.heading) / (b.s - a.s)
	}
	return c.nodes[i].bend
}

// sharpest is the greatest change of heading between two nodes, rad.
func (c *curve) sharpest() float64 {
	most := 0.0
	for i := range len(c.nodes) - 1 {
		most = max(most, math.Abs(c.nodes[i+1].heading-c.nodes[i].heading))
	}
	return most
}

func (c *curve) start() geom.Pose { return c.nodes[0].pose() }
func (c *curve) end() geom.Pose   { return c.nodes[len(c.nodes)-1].pose() }
func (n *node) pose() geom.Pose   { return geom.Pose{X: n.at.X, Y: n.at.Y, Heading: n.heading} }

// seconds is how long the curve takes as planned.
func (c *curve) seconds() float64 { return c.nodes[len(c.nodes)-1].t }

// length in metres.
func (c *curve) length() float64 { return c.nodes[len(c.nodes)-1].s }

// line lays a straight curve from a point to a point.
func (c *curve) line(from, to geom.Vec) {
	c.clear()
	heading := portable.Atan2(to.Y-from.Y, to.X-from.X)
	count := pieces(portable.Hypot(to.X-from.X, to.Y-from.Y), fine)
	c.nodes = slices.Grow(c.nodes, count+1)
	for i := range count + 1 {
		u := float64(i) / float64(count)
		c.add(geom.Vec{X: from.X + float64(u*(to.X-from.X)), Y: from.Y + float64(u*(to.Y-from.Y))}, heading)
	}
	c.measure()
}

// pieces is how many steps a length is cut into.
func pieces(length, spacing float64) int {
	return max(8, int(math.Ceil(min(length/spacing, maxRows))))
}

// bow lays a Bezier curve of degree five from a pose to a pose (Farin, Curves and Surfaces for CAGD, ch. 5). Its first
// three control points lie on the first heading in steps of first, its last three on the last heading in steps of last,
// so it is straight at both ends: the turning rate starts and ends at 0, and the robot comes in along the pose.
func (c *curve) bow(from, to geom.Pose, first, last, spacing float64) {
	c.bowWithin(from, to, first, last, spacing, math.Inf(1), math.Inf(1))
}

// bowWithin lays a bow, as long as its heading changes by no more than sharpest (rad) from node to node and it bends no
// tighter than tightest (1/m): it reports whether it is done.
func (c *curve) bowWithin(from, to geom.Pose, first, last, spacing, sharpest, tightest float64) bool {
	c.clear()
	p, length := controls(from, to, first, last), 0.0
	for i := range 5 {
		length += portable.Hypot(p[i+1].X-p[i].X, p[i+1].Y-p[i].Y)
	}
	count := max(12, pieces(length, spacing))
	c.nodes = slices.Grow(c.nodes, count+1)
	for i := range count + 1 {
		at, along := bezier(p, float64(i)/float64(count))
		heading := portable.Atan2(along.Y, along.X)
		if i == 0 {
			heading = from.Heading
		}
		c.add(at, heading)
		if k := len(c.nodes) - 1; k > 0 {
			if math.Abs(c.nodes[k].heading-c.nodes[k-1].heading) > sharpest || math.Abs(c.bend(k-1)) > tightest {
				return false
			}
		}
	}
	return math.Abs(c.bend(len(c.nodes)-1)) <= tightest
}

// controls are the control points of a bow.
func controls(from, to geom.Pose, first, last float64) [6]geom.Vec {
	return [6]geom.Vec{
		from.At(), from.ToWorld(geom.Vec{X: first}), from.ToWorld(geom.Vec{X: 2 * first}),
		to.ToWorld(geom.Vec{X: -2 * last}), to.ToWorld(geom.Vec{X: -last}), to.At(),
	}
}

// shortest is a length, in m, that no row of nodes of a bow is below: four chords, less what coarse nodes cut off.
func shortest(p [6]geom.Vec) float64 {
	length, last := 0.0, p[0]
	for i := 1; i <= 4; i++ {
		at, _ := bezier(p, float64(i)/4)
		length += portable.Hypot(at.X-last.X, at.Y-last.Y)
		last = at
	}
	const cut = 0.97
	return cut * length
}

// swing lays a bow that turns early to the direction of its end.
func (c *curve) swing(from, to geom.Pose) {
	step := 0.15 * portable.Hypot(to.X-from.X, to.Y-from.Y)
	c.bow(from, to, step, step, fine)
}

// bezier is point and direction of a curve at 0 <= u <= 1, by de Casteljau's repeated interpolation.
func bezier(p [6]geom.Vec, u float64) (at, along geom.Vec) {
	for n := 5; n > 0; n-- {
		if n == 1 {
			along = geom.Vec{X: p[1].X - p[0].X, Y: p[1].Y - p[0].Y}
		}
		for i := range n {
			p[i].X += float64(u * (p[i+1].X - p[i].X))
			p[i].Y += float64(u * (p[i+1].Y - p[i].Y))
		}
	}
	return p[0], along
}
