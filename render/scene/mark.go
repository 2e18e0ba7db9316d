package scene

import (
	"math"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
)

// strokes are the thin lines that a kind's mark puts on a body, in its own frame, m; the ring is drawn with the
// outline. A disc has no outline of corners but a radius.
func strokes(mark fields.Drawing, outline geom.Polygon, radius float64) [][]geom.Vec {
	switch mark {
	case fields.Star:
		return crossing(0.55 * inner(outline, radius))
	case fields.Runners:
		return runners(outline, radius)
	}
	return nil
}

// crossing is three strokes of a length 2 r through the middle.
func crossing(r float64) [][]geom.Vec {
	lines := make([][]geom.Vec, 3)
	for k := range lines {
		u := geom.Unit(float64(k) * math.Pi / 3)
		lines[k] = []geom.Vec{{X: r * u.X, Y: r * u.Y}, {X: -r * u.X, Y: -r * u.Y}}
	}
	return lines
}

// runners are two lines along the heading at 0.7 of the way from the middle to each side, as long as the outline is
// there.
func runners(outline geom.Polygon, radius float64) [][]geom.Vec {
	const out = 0.7
	low, high := geom.Vec{Y: -radius}, geom.Vec{Y: radius}
	if len(outline) >= 3 {
		low, high = outline.Bounds()
	}
	var lines [][]geom.Vec
	for _, y := range []float64{out * low.Y, out * high.Y} {
		from, to := chord(outline, radius, y)
		lines = append(lines, []geom.Vec{{X: from, Y: y}, {X: to, Y: y}})
	}
	return lines
}

// chord is where a line at y crosses a convex outline, or a disc: the least and the greatest x.
func chord(outline geom.Polygon, radius, y float64) (from, to float64) {
	if len(outline) < 3 {
		half := math.Sqrt(math.Max(radius*radius-y*y, 0))
		return -half, half
	}
	from, to = math.Inf(1), math.Inf(-1)
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if (a.Y-y)*(b.Y-y) > 0 || a.Y == b.Y {
			continue
		}
		x := a.X + (b.X-a.X)*(y-a.Y)/(b.Y-a.Y)
		from, to = math.Min(from, x), math.Max(to, x)
	}
	return from, to
}

// inner is the radius of the largest circle about the origin within an outline, or the disc's own.
func inner(outline geom.Polygon, radius float64) float64 {
	if len(outline) < 3 {
		return radius
	}
	least := radius
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if length := math.Hypot(b.X-a.X, b.Y-a.Y); length > 0 {
			least = math.Min(least, math.Abs(a.X*b.Y-a.Y*b.X)/length)
		}
	}
	return least
}
