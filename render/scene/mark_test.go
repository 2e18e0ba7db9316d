package scene

import (
	"math"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
)

// Every mark stays within the outline that it is drawn on, whatever the shape, and runners run from edge to edge.
func TestMarksStayWithinTheirOutline(t *testing.T) {
	shapes := map[string]geom.Polygon{
		"disc": nil, "sled": geom.Rect(geom.Vec{X: -0.15, Y: -0.13}, geom.Vec{X: 0.15, Y: 0.13}),
		"triangle": geom.Regular(3, 0.1), "slab": geom.Rect(geom.Vec{X: -0.3, Y: -0.02}, geom.Vec{X: 0.3, Y: 0.02}),
	}
	want := map[fields.Drawing]int{fields.Plain: 0, fields.Ring: 0, fields.Star: 3, fields.Runners: 2}
	for name, shape := range shapes {
		radius := 0.07
		if shape != nil {
			radius = reach(shape)
		}
		for mark, n := range want {
			lines := strokes(mark, shape, radius)
			if len(lines) != n {
				t.Errorf("%s, %s: %d lines, want %d", name, mark, len(lines), n)
			}
			for _, line := range lines {
				for _, at := range line {
					outside := math.Hypot(at.X, at.Y) - radius
					if shape != nil {
						outside = 0
						if !shape.Contains(at) {
							outside = edgeDistance(shape, at)
						}
					}
					if outside > 1e-9 {
						t.Errorf("%s, %s: a line ends %.4f m outside", name, mark, outside)
					}
					if mark == fields.Runners && shape != nil && edgeDistance(shape, at) > 1e-9 {
						t.Errorf("%s: a runner ends inside, at %v", name, at)
					}
				}
			}
		}
	}
}

// edgeDistance is how far a point is from the nearest edge, m.
func edgeDistance(p geom.Polygon, at geom.Vec) float64 {
	least := math.Inf(1)
	for i, a := range p {
		b := p[(i+1)%len(p)]
		dx, dy := b.X-a.X, b.Y-a.Y
		s := geom.Clamp(((at.X-a.X)*dx+(at.Y-a.Y)*dy)/(dx*dx+dy*dy), 0, 1)
		least = math.Min(least, math.Hypot(a.X+s*dx-at.X, a.Y+s*dy-at.Y))
	}
	return least
}
