package geom

import (
	"math"
	"testing"

	"chalkfield/internal/base/property"

	"pgregory.net/rapid"
)

// segment is the area of a disc beyond a chord at a distance from its centre, r^2 acos(d/r) - d sqrt(r^2 - d^2)
// (circular segment; Bronstein, Taschenbuch der Mathematik, from memory).
func segment(r, d float64) float64 {
	if d >= r {
		return 0
	}
	if d <= -r {
		return math.Pi * r * r
	}
	return r*r*math.Acos(d/r) - d*math.Sqrt(r*r-d*d)
}

// A long strip over a disc covers what lies beyond one edge less what lies beyond the other, however it is turned.
func TestAStripCoversADiscByItsSegments(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		r, low, wide := number("radius", 0.001, 0.1), number("edge", -0.15, 0.15), number("width", 0.001, 0.2)
		at := Pose{X: number("x", -3, 3), Y: number("y", -3, 3), Heading: number("turn", -4, 4)}
		strip := Rect(Vec{X: -1, Y: low}, Vec{X: 1, Y: low + wide}).Placed(at)
		want := segment(r, low) - segment(r, low+wide)
		if got := strip.InDisc(at.At(), r); math.Abs(got-want) > 1e-10 {
			t.Fatalf("%.12f m^2, want %.12f", got, want)
		}
	})
}

// By hand: a disc in a square, a square in a disc, a quarter of a disc at a corner.
func TestAreasInADisc(t *testing.T) {
	square := Rect(Vec{X: -1, Y: -1}, Vec{X: 1, Y: 1})
	for _, c := range []struct {
		name   string
		centre Vec
		radius float64
		want   float64
	}{
		{"disc inside", Vec{X: 0.3}, 0.5, math.Pi / 4},
		{"square inside", Vec{X: 0.1, Y: 0.2}, 4, 4},
		{"at a corner", Vec{X: 1, Y: 1}, 1, math.Pi / 4},
		{"at an edge", Vec{X: 1}, 0.8, math.Pi * 0.64 / 2},
		{"apart", Vec{X: 3, Y: 3}, 1, 0},
	} {
		if got := square.InDisc(c.centre, c.radius); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s: %.12f, want %.12f", c.name, got, c.want)
		}
	}
}

// What is left of one rectangle without another has the area of the one less what they share, and shares nothing with
// the other or among itself: counted by points.
func TestMinusLeavesWhatIsOutside(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		box := func(name string) Polygon {
			half := Vec{X: number(name+" length", 0.1, 1), Y: number(name+" width", 0.05, 0.5)}
			at := Pose{X: number(name+" x", -0.5, 0.5), Y: number(name+" y", -0.5, 0.5), Heading: number(name+" turn", -4, 4)}
			return Rect(Vec{X: -half.X, Y: -half.Y}, half).Placed(at)
		}
		p, q := box("p"), box("q")
		rest := p.Minus(q)
		for range 200 {
			v := Vec{X: number("at x", -1.5, 1.5), Y: number("at y", -1.5, 1.5)}
			const near = 1e-6 // edges
			if p.Distance(v) < near || q.Distance(v) < near {
				continue
			}
			in := 0
			for _, part := range rest {
				if part.Contains(v) && part.Distance(v) > near {
					in++
				} else if part.Distance(v) <= near {
					in = 1 // between two parts
					break
				}
			}
			if want := p.Contains(v) && !q.Contains(v); (in == 1) != want && in < 2 || in > 1 {
				t.Fatalf("%v lies in %d parts of %v, want %v", v, in, rest, want)
			}
		}
	})
}
