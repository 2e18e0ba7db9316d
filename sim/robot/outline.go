package robot

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"

	"gonum.org/v1/gonum/spatial/r2"
)

// Shape is the chassis's outline in the robot's frame, corners counter-clockwise: the file's own, or the rectangle of
// length and width about the origin.
func (c Chassis) Shape() geom.Polygon {
	if c.Outline != nil {
		return c.Outline
	}
	half := geom.Vec{X: c.Length / 2, Y: c.Width / 2}
	return geom.Rect(geom.Scale(-1, half), half)
}

// UniformInertia is that of a chassis of the same material all over, about its own middle, kg m^2. A rectangle's is
// m (l^2 + w^2)/12.
func (c Chassis) UniformInertia() float64 {
	if c.Outline == nil {
		return c.Mass * (float64(c.Length*c.Length) + float64(c.Width*c.Width)) / 12
	}
	return c.Outline.Inertia(c.Mass) - float64(c.Mass*geom.Norm2(c.Outline.Centroid()))
}

// The least and the most of an outline: what a chassis can be, and what the engine's rounded corners can follow.
const (
	mostCorners   = 16
	leastEdge     = 0.01
	leastWidth    = 0.05 // m between two parallel lines that hold it
	mostSize      = 2.0  // m along x and along y
	sharpestAngle = 30 * math.Pi / 180
)

// readOutline completes length and width, from the outline if the file gives one.
func (r *reader) readOutline() {
	c, path := &r.out.Chassis, "chassis.outline"
	given := r.at.Has(path)
	for _, key := range []string{"length", "width"} {
		switch has := r.at.Has("chassis." + key); {
		case given && has:
			r.at.KeyErrorf("chassis."+key, "the outline already says how large the chassis is: leave %s out", key)
		case !given && !has:
			r.at.Errorf("chassis."+key, `the key %q is missing: write, for example, %s = "420 mm", or corners of your own: `+
				`outline = [["200 mm", "-150 mm"], ...]`, key, key)
		}
	}
	if !given {
		return
	}
	if at, wrong := wrongOutline(c.Outline); wrong != "" {
		if at >= 0 {
			path = fmt.Sprintf("%s[%d]", path, at)
		}
		r.at.Errorf(path, "%s", wrong)
		c.Outline = nil // no reason for more complaints
		c.Length, c.Width = mostSize, mostSize
		return
	}
	if c.Outline.Area() < 0 {
		slices.Reverse(c.Outline)
	}
	low, high := c.Outline.Bounds()
	c.Length, c.Width = high.X-low.X, high.Y-low.Y
	if !r.at.Has("chassis.centre") {
		c.Centre = c.Outline.Centroid()
		if math.Abs(c.Centre.Y) < tiny { // of an outline with two like sides
			c.Centre.Y = 0
		}
	}
}

// wrongOutline says what makes an outline none of a chassis, "" for nothing, and at which corner, -1 for all of it.
func wrongOutline(p geom.Polygon) (corner int, wrong string) {
	if n := len(p); n < 3 || n > mostCorners {
		return -1, fmt.Sprintf("an outline of %d corners: write from 3 to %d", n, mostCorners)
	}
	if !p.Simple() {
		return -1, "the outline crosses or touches itself: list the corners in order, once around"
	}
	way := math.Copysign(1, p.Area())
	for i, v := range p {
		before, after := r2.Sub(v, p[(i+len(p)-1)%len(p)]), r2.Sub(p[(i+1)%len(p)], v)
		switch turn := portable.Atan2(way*geom.Cross(before, after), geom.Dot(before, after)); {
		case turn < -1e-9:
			return i, "the outline turns inwards at this corner, and a chassis is convex: leave the corner out"
		case math.Pi-turn < sharpestAngle:
			return i, fmt.Sprintf("this corner is sharper than %.0f degrees: write two corners in its place",
				sharpestAngle*180/math.Pi)
		case geom.Norm(after) < leastEdge:
			return i, fmt.Sprintf("this corner and the next are nearer than %.0f mm: leave one of them out", leastEdge*1000)
		}
	}
	low, high := p.Bounds()
	switch {
	case !p.Contains(geom.Vec{}):
		return -1, "the outline does not hold [0, 0], the point that poses speak of and places are counted from: write " +
			"corners around it"
	case max(high.X-low.X, high.Y-low.Y) > mostSize:
		return -1, fmt.Sprintf("the outline is larger than %.0f m: write a smaller one", mostSize)
	case slimness(p) < leastWidth:
		return -1, fmt.Sprintf("the outline is slimmer than %.0f mm: write a wider one", leastWidth*1000)
	}
	return -1, ""
}

// slimness is the least distance of two parallel lines that hold a convex polygon, m. One of them lies along an edge
// (Freeman & Shapira, Communications of the ACM 18(7), 1975, by way of the least rectangle; from memory).
func slimness(p geom.Polygon) float64 {
	least := math.Inf(1)
	for i, a := range p {
		b := p[(i+1)%len(p)]
		along, far := geom.Direction(r2.Sub(b, a)), 0.0
		for _, v := range p {
			far = max(far, math.Abs(geom.Cross(along, r2.Sub(v, a))))
		}
		least = min(least, far)
	}
	return least
}

// within is a place well inside an outline, near to one outside it, as a file has it.
func within(shape geom.Polygon, v geom.Vec) string {
	v = geom.Scale(0.95, shape.Nearest(v))
	return fmt.Sprintf(`["%.0f mm", "%.0f mm"]`, v.X*1000, v.Y*1000)
}
