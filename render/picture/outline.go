package picture

import (
	"image"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"chalkfield/internal/base/geom"
)

// outline is polygons, in pixels, whose union is filled. All turn the same way, so that where two lie over each other
// the filler counts two and none cancels the other; one that turns the other way is a hole.
type outline struct {
	points []geom.Vec
	ends   []int // of each polygon in points
}

func (o *outline) reset() { o.points, o.ends = o.points[:0], o.ends[:0] }

// close ends the polygon whose corners were added, turned to positive area.
func (o *outline) close() {
	from := o.begun()
	corners := o.points[from:]
	if geom.Polygon(corners).Area() < 0 {
		slices.Reverse(corners)
	}
	o.ends = append(o.ends, len(o.points))
}

// begun is where the polygon begins that is being added.
func (o *outline) begun() int {
	if len(o.ends) == 0 {
		return 0
	}
	return o.ends[len(o.ends)-1]
}

// turnLast makes the last polygon a hole.
func (o *outline) turnLast() {
	from := 0
	if n := len(o.ends); n > 1 {
		from = o.ends[n-2]
	}
	slices.Reverse(o.points[from:])
}

func (o *outline) polygon(corners []geom.Vec, ratio float64) {
	for _, v := range corners {
		o.points = append(o.points, geom.Scale(ratio, v))
	}
	o.close()
}

// arc adds corners on a circle, pixels, both ends among them, so many that a chord stays within a fiftieth of a pixel
// of it: sagitta r (1 - cos(step/2)).
func (o *outline) arc(at geom.Vec, radius, from, sweep float64) {
	step := 2 * math.Acos(1-math.Min(0.02/math.Max(radius, 0.02), 1))
	n := max(int(math.Ceil(math.Abs(sweep)/step)), 1)
	for i := range n + 1 {
		sin, cos := math.Sincos(from + sweep*float64(i)/float64(n))
		o.points = append(o.points, geom.Vec{X: at.X + radius*cos, Y: at.Y + radius*sin})
	}
}

func (o *outline) circle(at geom.Vec, radius, ratio float64) {
	o.arc(geom.Scale(ratio, at), radius*ratio, 0, 2*math.Pi)
	o.close()
}

// stroke adds a polyline's ink: a rectangle for each stretch, a wedge on the outer side of each corner, half a disc at
// each end. A line of no length is a dot.
func (o *outline) stroke(line []geom.Vec, closed bool, half, ratio float64) {
	half *= ratio
	n, last, first := 0, 0.0, 0.0 // stretches so far, the last one's direction, the first one's
	stretches := len(line) - 1
	if closed {
		stretches = len(line)
	}
	for i := range stretches {
		a, b := geom.Scale(ratio, line[i]), geom.Scale(ratio, line[(i+1)%len(line)])
		along := r2.Sub(b, a)
		length := geom.Norm(along)
		if length < 1e-9 {
			continue
		}
		direction := math.Atan2(along.Y, along.X)
		side := geom.Scale(half/length, geom.Vec{X: -along.Y, Y: along.X})
		o.points = append(o.points, r2.Add(a, side), r2.Sub(a, side), r2.Sub(b, side), r2.Add(b, side))
		o.close()
		if n > 0 {
			o.corner(a, half, last, direction)
		} else {
			first = direction
		}
		last = direction
		n++
	}
	if len(line) == 0 {
		return
	}
	from, to := geom.Scale(ratio, line[0]), geom.Scale(ratio, line[len(line)-1])
	switch {
	case n == 0:
		o.arc(from, half, 0, 2*math.Pi)
		o.close()
	case closed:
		o.corner(from, half, last, first)
	default:
		o.arc(from, half, first+math.Pi/2, math.Pi)
		o.close()
		o.arc(to, half, last-math.Pi/2, math.Pi)
		o.close()
	}
}

// corner fills the wedge between two stretches that meet at a place.
func (o *outline) corner(at geom.Vec, half, before, after float64) {
	turn := geom.WrapAngle(after - before)
	if math.Abs(turn) < 1e-6 {
		return
	}
	outer := -math.Copysign(math.Pi/2, turn)
	o.points = append(o.points, at)
	o.arc(at, half, before+outer, turn)
	o.close()
}

// bounds is the whole pixels that the outline touches; none of one with a corner at no number.
func (o *outline) bounds() image.Rectangle {
	left, top, right, bottom := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, v := range o.points {
		left, right = math.Min(left, v.X), math.Max(right, v.X)
		top, bottom = math.Min(top, v.Y), math.Max(bottom, v.Y)
	}
	whole := func(x float64) int { return int(geom.Clamp(x, -1e6, 1e6)) }
	return image.Rect(whole(math.Floor(left)), whole(math.Floor(top)), whole(math.Ceil(right)), whole(math.Ceil(bottom)))
}
