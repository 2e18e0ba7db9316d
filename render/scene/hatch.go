package scene

import (
	"math"
	"sort"

	"chalkfield/internal/base/geom"
)

// mostHatch bounds how many lines a hatch has, whatever the polygon's size.
const mostHatch = 300

// hatch is the part inside a polygon, concave or not, of parallel lines at an angle (rad) and a spacing (m). The lines
// pass through multiples of the spacing from the frame's origin, so neighbouring hatches line up. Segments come in
// pairs of points.
//
// In a frame turned by the angle the lines are level; each meets the edges that cross its height, and lies inside
// between the first and second, third and fourth ... meeting (even-odd rule).
func hatch(shape geom.Polygon, angle, spacing float64) []geom.Vec {
	turned := shape.Placed(geom.Pose{Heading: -angle})
	low, high := turned.Bounds()
	if !(spacing > 0) || !((high.Y-low.Y)/spacing < mostHatch) {
		return nil
	}
	var out []geom.Vec
	for k := math.Ceil(low.Y / spacing); k*spacing < high.Y; k++ {
		y := k * spacing
		meets := meetings(turned, y)
		for i := 0; i+1 < len(meets); i += 2 {
			out = append(out, geom.Rotate(geom.Vec{X: meets[i], Y: y}, angle), geom.Rotate(geom.Vec{X: meets[i+1], Y: y}, angle))
		}
	}
	return out
}

// meetings are the x at which a level line crosses a polygon's edges, in order.
func meetings(shape geom.Polygon, y float64) []float64 {
	var x []float64
	for i, a := range shape {
		b := shape[(i+1)%len(shape)]
		if (a.Y > y) != (b.Y > y) {
			x = append(x, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
		}
	}
	sort.Float64s(x)
	return x
}

// inside is a point within a polygon where a label stands well: its centre of area, or for one that bends around it the
// middle of the widest stretch at half height.
func inside(shape geom.Polygon) geom.Vec {
	low, high := shape.Bounds()
	centre := shape.Centroid()
	if shape.Contains(centre) {
		return centre
	}
	y := (low.Y + high.Y) / 2
	best, width := geom.Vec{X: (low.X + high.X) / 2, Y: y}, 0.0
	meets := meetings(shape, y)
	for i := 0; i+1 < len(meets); i += 2 {
		if meets[i+1]-meets[i] > width {
			width = meets[i+1] - meets[i]
			best = geom.Vec{X: (meets[i] + meets[i+1]) / 2, Y: y}
		}
	}
	return best
}
