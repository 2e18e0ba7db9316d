package paint

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
)

// dashes are the lengths of ink and gap of each pattern by turns, pixels.
var dashes = [...][]float64{
	scene.Solid: nil, scene.Dashed: {7, 5}, scene.Dotted: {1.5, 4}, scene.Chained: {10, 3, 2, 3},
	scene.Paired: {2.5, 2.5, 2.5, 7}, scene.Long: {10, 8}, scene.Tripled: {6, 3, 1.5, 3, 1.5, 3},
}

// beyond is how far outside the view's area lines are still drawn, pixels: thick lines at the edge stay whole, and a
// line to a place a kilometre off costs no more than one across the picture.
const beyond = 60

// lines holds polylines in one buffer that is used again.
type lines struct {
	points []geom.Vec
	ends   []int // of each polyline in points
	out    [][]geom.Vec
}

// Dashes breaks a line into its pattern.
func Dashes(points []geom.Vec, dash scene.Dash) [][]geom.Vec {
	if len(points) < 2 {
		return nil
	}
	var l lines
	l.trace(points, false, dash, boundsOf(points).Grown(1))
	return l.all()
}

func (l *lines) reset() { l.points, l.ends = l.points[:0], l.ends[:0] }

// segment adds the stretch from a to b, onto the last polyline if that ends at a.
func (l *lines) segment(a, b geom.Vec) {
	n := len(l.ends)
	if n > 0 && l.points[l.ends[n-1]-1] == a {
		l.points = append(l.points, b)
		l.ends[n-1] = len(l.points)
		return
	}
	l.points = append(l.points, a, b)
	l.ends = append(l.ends, len(l.points))
}

func (l *lines) all() [][]geom.Vec {
	l.out = l.out[:0]
	from := 0
	for _, end := range l.ends {
		l.out = append(l.out, l.points[from:end])
		from = end
	}
	return l.out
}

// trace adds a polyline of pixels, cut to a box and broken into the pattern's dashes.
func (l *lines) trace(points []geom.Vec, closed bool, dash scene.Dash, box Box) {
	phase := 0.0
	n := len(points)
	stretches := n - 1
	if closed {
		stretches = n
	}
	for i := range stretches {
		a, b := points[i], points[(i+1)%n]
		length := math.Hypot(b.X-a.X, b.Y-a.Y)
		if ca, cb, visible := clip(a, b, box); visible {
			if dash == scene.Solid {
				l.segment(ca, cb)
			} else {
				l.dashed(ca, cb, phase+math.Hypot(ca.X-a.X, ca.Y-a.Y), dashes[dash])
			}
		}
		phase += length
	}
}

// dashed adds the inked parts of a stretch; phase is the length of line before it.
func (l *lines) dashed(a, b geom.Vec, phase float64, pattern []float64) {
	length := math.Hypot(b.X-a.X, b.Y-a.Y)
	var period float64
	for _, part := range pattern {
		period += part
	}
	along := func(s float64) geom.Vec {
		return geom.Vec{X: a.X + (b.X-a.X)*s/length, Y: a.Y + (b.Y-a.Y)*s/length}
	}
	for start := -math.Mod(phase, period); start < length; start += period {
		at := start
		for k := 0; k < len(pattern); k += 2 {
			from, to := math.Max(at, 0), math.Min(at+pattern[k], length)
			if to > from {
				l.segment(along(from), along(to))
			}
			at += pattern[k] + pattern[k+1]
		}
	}
}

// clip cuts a segment to a box (Liang & Barsky, ACM Trans. Graphics 3(1), 1984); false when nothing is left.
func clip(a, b geom.Vec, box Box) (geom.Vec, geom.Vec, bool) {
	if box.has(a) && box.has(b) {
		return a, b, true
	}
	dx, dy := b.X-a.X, b.Y-a.Y
	enter, leave := 0.0, 1.0
	for _, edge := range [4][2]float64{
		{-dx, a.X - box.Left}, {dx, box.Right - a.X}, {-dy, a.Y - box.Top}, {dy, box.Bottom - a.Y},
	} {
		p, q := edge[0], edge[1]
		switch {
		case p == 0 && q < 0:
			return a, b, false
		case p < 0:
			enter = math.Max(enter, q/p)
		case p > 0:
			leave = math.Min(leave, q/p)
		}
	}
	if !(enter < leave) && !(enter == leave && dx == 0 && dy == 0) {
		return a, b, false
	}
	from, to := a, b
	if enter > 0 {
		from = geom.Vec{X: a.X + enter*dx, Y: a.Y + enter*dy}
	}
	if leave < 1 {
		to = geom.Vec{X: a.X + leave*dx, Y: a.Y + leave*dy}
	}
	return from, to, true
}
