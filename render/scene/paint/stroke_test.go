package paint

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/render/scene"
	"pgregory.net/rapid"
)

func point(t *rapid.T, reach float64) geom.Vec {
	return geom.Vec{X: rapid.Float64Range(-reach, reach).Draw(t, "x"), Y: rapid.Float64Range(-reach, reach).Draw(t, "y")}
}

// The oracle walks the segment in small steps and looks which lie in the box.
func TestClipKeepsThePartInTheBox(t *testing.T) {
	box := Box{-10, -5, 20, 30}
	in := func(p geom.Vec, slack float64) bool {
		return p.X >= box.Left-slack && p.X <= box.Right+slack && p.Y >= box.Top-slack && p.Y <= box.Bottom+slack
	}
	property.Check(t, func(t *rapid.T) {
		a, b := point(t, 60), point(t, 60)
		ca, cb, visible := clip(a, b, box)
		const steps = 400
		inside := 0
		for i := 0; i <= steps; i++ {
			s := float64(i) / steps
			if in(geom.Vec{X: a.X + s*(b.X-a.X), Y: a.Y + s*(b.Y-a.Y)}, 0) {
				inside++
			}
		}
		length := math.Hypot(b.X-a.X, b.Y-a.Y)
		if !visible {
			if inside > 1 {
				t.Fatalf("%v-%v is not drawn, though %d of %d steps are in the box", a, b, inside, steps)
			}
			return
		}
		if !in(ca, 1e-6) || !in(cb, 1e-6) {
			t.Fatalf("%v-%v was cut to %v-%v, outside the box", a, b, ca, cb)
		}
		if got, want := math.Hypot(cb.X-ca.X, cb.Y-ca.Y),
			length*float64(inside)/steps; math.Abs(got-want) > 2.5*length/steps+1e-9 {
			t.Fatalf("%v-%v: %v px are left, want about %v", a, b, got, want)
		}
	})
}

func TestDashesInkTheirShare(t *testing.T) {
	big := Box{-1e6, -1e6, 1e6, 1e6}
	property.Check(t, func(t *rapid.T) {
		points := []geom.Vec{point(t, 500), point(t, 500), point(t, 500), point(t, 500)}
		dash := scene.Dash(rapid.IntRange(1, 2).Draw(t, "dash"))
		closed := rapid.Bool().Draw(t, "closed")
		var l lines
		l.trace(points, closed, dash, big)
		var ink, length float64
		for _, line := range l.all() {
			ink += walk(line)
		}
		length = walk(points)
		if closed {
			length += walk([]geom.Vec{points[3], points[0]})
		}
		period := dashes[dash][0] + dashes[dash][1]
		if want := length * dashes[dash][0] / period; math.Abs(ink-want) > period {
			t.Fatalf("%.1f px of ink on %.1f px of line, want %.1f", ink, length, want)
		}
	})
}

func walk(line []geom.Vec) float64 {
	var sum float64
	for i := 1; i < len(line); i++ {
		sum += math.Hypot(line[i].X-line[i-1].X, line[i].Y-line[i-1].Y)
	}
	return sum
}

// A line to a place a thousand kilometres off must cost no more dashes than the picture is wide.
func TestAFarLineIsCutBeforeItIsDashed(t *testing.T) {
	var l lines
	l.trace([]geom.Vec{{X: 5, Y: 5}, {X: 1e9, Y: 7e8}}, false, scene.Dotted, Box{0, 0, 1000, 1000})
	if n := len(l.all()); n == 0 || n > 400 {
		t.Errorf("%d dashes, want some and at most 400", n)
	}
}

func TestPixelAndPlaceAreInverse(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		v := FitView(geom.Vec{X: -1, Y: 2}, geom.Vec{X: 3, Y: 4}, Box{10, 20, 510, 820})
		p := point(t, 10)
		if q := v.Place(v.Pixel(p)); math.Hypot(q.X-p.X, q.Y-p.Y) > 1e-9 {
			t.Fatalf("%v comes back as %v", p, q)
		}
	})
	v := FitView(geom.Vec{X: -1, Y: 2}, geom.Vec{X: 3, Y: 4}, Box{10, 20, 510, 820})
	if v.Scale != 125 || v.Pixel(geom.Vec{X: 1, Y: 3}) != (geom.Vec{X: 260, Y: 420}) ||
		v.Pixel(geom.Vec{X: 1, Y: 4}).Y >= 420 {
		t.Errorf("the view is not centred and upright: %+v", v)
	}
}
