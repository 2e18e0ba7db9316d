package sim

import (
	"testing"

	"chalkfield/internal/base/geom"
)

// Walls leave no gap outside the floor, at its corners least, and never reach onto it, also where it is concave or a
// fin of wall is thin.
func TestWallsSurroundTheFloorAndKeepOffIt(t *testing.T) {
	for name, floor := range map[string]geom.Polygon{
		"square":  geom.Rect(geom.Vec{}, geom.Vec{X: 3, Y: 3}),
		"ell":     {{X: 0, Y: 0}, {X: 3, Y: 0}, {X: 3, Y: 1.4}, {X: 2.2, Y: 1.4}, {X: 2.2, Y: 2.4}, {X: 0, Y: 2.4}},
		"fin":     {{X: 0, Y: 0}, {X: 3, Y: 0}, {X: 3, Y: 3}, {X: 1.65, Y: 3}, {X: 1.6, Y: 1}, {X: 1.55, Y: 3}, {X: 0, Y: 3}},
		"hexagon": regular(6, 1.5),
		"acute":   {{X: 0, Y: 0}, {X: 3, Y: 0}, {X: 0, Y: 1}},
	} {
		var walls []geom.Polygon
		for i := range floor {
			walls = append(walls, strip(newBounded(floor), i))
		}
		covered := func(p geom.Vec) bool {
			for _, w := range walls {
				if w.Contains(p) {
					return true
				}
			}
			return false
		}
		low, high := floor.Bounds()
		const fine, near = 0.004, 0.006
		for x := low.X - 0.05; x < high.X+0.05; x += fine {
			for y := low.Y - 0.05; y < high.Y+0.05; y += fine {
				p := geom.Vec{X: x, Y: y}
				d := floor.Distance(p)
				switch inside := floor.Contains(p); {
				case inside && d > 1.01*thinnest && covered(p):
					t.Fatalf("%s: a wall covers the floor at %v", name, p)
				case !inside && d > 1e-9 && d < near && !covered(p):
					t.Fatalf("%s: no wall at %v, %.1f mm outside", name, p, d*1e3)
				}
			}
		}
	}
}
