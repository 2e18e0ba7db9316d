package geom_test

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

func near(a, b, within float64) bool { return math.Abs(a-b) <= within }

func poses() *rapid.Generator[geom.Pose] {
	return rapid.Custom(func(t *rapid.T) geom.Pose {
		metres := rapid.Float64Range(-10, 10)
		return geom.Pose{X: metres.Draw(t, "x"), Y: metres.Draw(t, "y"), Heading: rapid.Float64Range(-20, 20).Draw(t,
			"heading")}
	})
}

// A body 1 m right and 2 m up that looks along +y has its own forward point above it and its own left point left of it.
func TestPoseFrames(t *testing.T) {
	p := geom.Pose{X: 1, Y: 2, Heading: math.Pi / 2}
	for _, c := range []struct{ own, field geom.Vec }{
		{geom.Vec{X: 0.5}, geom.Vec{X: 1, Y: 2.5}},
		{geom.Vec{Y: 0.5}, geom.Vec{X: 0.5, Y: 2}},
		{geom.Vec{}, geom.Vec{X: 1, Y: 2}},
	} {
		if got := p.ToWorld(c.own); r2.Norm(r2.Sub(got, c.field)) > 1e-15 {
			t.Errorf("Out(%v) = %v, want %v", c.own, got, c.field)
		}
		if got := p.ToLocal(c.field); r2.Norm(r2.Sub(got, c.own)) > 1e-15 {
			t.Errorf("In(%v) = %v, want %v", c.field, got, c.own)
		}
	}
	if f := p.Forward(); !near(f.X, 0, 1e-15) || !near(f.Y, 1, 0) {
		t.Errorf("Forward = %v", f)
	}
}

func TestComposeAndRelativeAreInverse(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		p, q := poses().Draw(t, "p"), poses().Draw(t, "q")
		back := p.Relative(p.Compose(q))
		if r2.Norm(r2.Sub(back.At(), q.At())) > 1e-12 || !near(geom.WrapAngle(back.Heading-q.Heading), 0, 1e-12) {
			t.Errorf("p %v q %v back %v", p, q, back)
		}
	})
}

func TestWrapAngle(t *testing.T) {
	for _, c := range [][2]float64{{0, 0}, {math.Pi, math.Pi}, {-math.Pi, math.Pi}, {3 * math.Pi / 2, -math.Pi / 2},
		{-7, 2*math.Pi - 7}, {100 * math.Pi, 0}} {
		if got := geom.WrapAngle(c[0]); !near(got, c[1], 1e-12) {
			t.Errorf("WrapAngle(%g) = %g, want %g", c[0], got, c[1])
		}
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if got := geom.WrapAngle(bad); !math.IsNaN(got) {
			t.Errorf("WrapAngle(%g) = %g, want NaN", bad, got)
		}
	}
}

var (
	square = geom.Rect(geom.Vec{X: 2, Y: 1}, geom.Vec{})
	ell    = geom.Polygon{{X: 0, Y: 0}, {X: 3, Y: 0}, {X: 3, Y: 1}, {X: 1, Y: 1}, {X: 1, Y: 3}, {X: 0, Y: 3}}
	bow    = geom.Polygon{{X: 0, Y: 0}, {X: 1, Y: 1}, {X: 1, Y: 0}, {X: 0, Y: 1}}
	star   = geom.Polygon{geom.Unit(0), geom.Unit(4 * math.Pi / 5), geom.Unit(8 * math.Pi / 5),
		geom.Unit(12 * math.Pi / 5), geom.Unit(16 * math.Pi / 5)}
	folded = geom.Polygon{{X: 0, Y: 0}, {X: 2, Y: 0}, {X: 1, Y: 0}, {X: 1, Y: 1}}
	touchy = geom.Polygon{{X: 0, Y: 0}, {X: 2, Y: 0}, {X: 2, Y: 2}, {X: 1, Y: 0}, {X: 0, Y: 2}}
)

func TestPolygonKinds(t *testing.T) {
	for _, c := range []struct {
		name           string
		p              geom.Polygon
		simple, convex bool
		area           float64
	}{
		{"rectangle", square, true, true, 2},
		{"L", ell, true, false, 5},
		{"bow tie", bow, false, false, 0},
		{"five-pointed star", star, false, false, math.NaN()},
		{"spike folded back", folded, false, false, math.NaN()},
		{"corner on an edge", touchy, false, false, math.NaN()},
		{"triangle", geom.Polygon{{}, {X: 1}, {Y: 1}}, true, true, 0.5},
		{"triangle the other way", geom.Polygon{{}, {Y: 1}, {X: 1}}, true, false, -0.5},
		{"flat triangle", geom.Polygon{{}, {X: 1}, {X: 2}}, false, false, 0},
		{"hexagon", geom.Regular(6, 0.14), true, true, 2 * math.Sqrt(3) * 0.14 * 0.14},
		{"straight corner", geom.Polygon{{}, {X: 1}, {X: 2}, {X: 2, Y: 1}, {Y: 1}}, true, true, 2},
	} {
		if c.p.Simple() != c.simple || c.p.Convex() != c.convex {
			t.Errorf("%s: simple %v, convex %v", c.name, c.p.Simple(), c.p.Convex())
		}
		if !math.IsNaN(c.area) && !near(c.p.Area(), c.area, 1e-12) {
			t.Errorf("%s: area %g, want %g", c.name, c.p.Area(), c.area)
		}
	}
}

func TestCentroid(t *testing.T) {
	// The L is a 3 x 1 bar at (1.5, 0.5) and a 1 x 2 bar at (0.5, 2): the mean weighted by area.
	if got := ell.Centroid(); !near(got.X, (3*1.5+2*0.5)/5, 1e-12) || !near(got.Y, (3*0.5+2*2.0)/5, 1e-12) {
		t.Errorf("centroid %v", got)
	}
	// A triangle's is the mean of its corners (Euclid); without area, so is every polygon's.
	for _, p := range []geom.Polygon{{{X: 0, Y: 0}, {X: 3, Y: 0}, {X: 0, Y: 3}},
		{{X: 0, Y: 1}, {X: 1, Y: 1}, {X: 2, Y: 1}}} {
		if got := p.Centroid(); !near(got.X, 1, 1e-12) || !near(got.Y, 1, 1e-12) {
			t.Errorf("centroid of %v: %v, want (1, 1)", p, got)
		}
	}
}

// A uniform plate's moments (Meriam & Kraige, Dynamics, table of mass moments; from memory): of a rectangle about its
// middle m (a^2 + b^2)/12, of a regular hexagon of the side a 5 m a^2/12, of a triangle with the corners b and c, about
// the third, m (b.b + b.c + c.c)/6; and about any other point m d^2 more (parallel axes).
func TestInertiaOfAPlate(t *testing.T) {
	side := 0.3 / (math.Sqrt(3) / 2)
	for _, c := range []struct {
		name string
		p    geom.Polygon
		want float64
	}{
		{"rectangle", geom.Rect(geom.Vec{X: -0.2, Y: -0.15}, geom.Vec{X: 0.2, Y: 0.15}), 6 * (0.16 + 0.09) / 12},
		{"rectangle about its corner", geom.Rect(geom.Vec{}, geom.Vec{X: 0.4, Y: 0.3}), 6 * (0.16 + 0.09) / 3},
		{"hexagon", geom.Regular(6, 0.3), 6 * 5 * side * side / 12},
		{"triangle about a corner", geom.Polygon{{}, {X: 1, Y: 0.2}, {X: 0.3, Y: 0.7}}, 6 * (1.04 + 0.44 + 0.58) / 6},
	} {
		if got := c.p.Inertia(6); !near(got, c.want, 1e-12) {
			t.Errorf("%s: %.12g kg m^2, want %.12g", c.name, got, c.want)
		}
	}
}

func TestNearestPlaceOfAPolygon(t *testing.T) {
	for _, c := range [][2]geom.Vec{{{X: 0.5, Y: 2}, {X: 0.5, Y: 2}}, {{X: 4, Y: 0.5}, {X: 3, Y: 0.5}},
		{{X: -1, Y: -1}, {}}, {{X: 1.2, Y: 2}, {X: 1, Y: 2}}} {
		if got := ell.Nearest(c[0]); r2.Norm(r2.Sub(got, c[1])) > 1e-12 {
			t.Errorf("of %v: %v, want %v", c[0], got, c[1])
		}
	}
}

func TestRegularShowsAFlatForward(t *testing.T) {
	for corners := 3; corners <= 12; corners++ {
		p := geom.Regular(corners, 0.1)
		if d := p.Distance(geom.Vec{}); !near(d, 0.1, 1e-15) {
			t.Errorf("%d corners: flats at %g", corners, d)
		}
		if d := p.Distance(geom.Vec{X: 0.1}); d > 1e-15 {
			t.Errorf("%d corners: no flat along +x", corners)
		}
	}
}

func TestContainsInAConcavePolygon(t *testing.T) {
	for _, c := range []struct {
		at   geom.Vec
		in   bool
		away float64
	}{
		{geom.Vec{X: 0.5, Y: 2}, true, 0.5}, {geom.Vec{X: 2, Y: 2}, false, 1}, {geom.Vec{X: 1, Y: 1}, true, 0},
		{geom.Vec{X: 1, Y: 2}, true, 0}, {geom.Vec{X: -0.1, Y: 1}, false, 0.1}, {geom.Vec{X: 4, Y: 2}, false, math.Sqrt2},
	} {
		if ell.Contains(c.at) != c.in || !near(ell.Distance(c.at), c.away, 1e-12) {
			t.Errorf("%v: inside %v, distance %g", c.at, ell.Contains(c.at), ell.Distance(c.at))
		}
	}
}

func TestHoldsAndMeets(t *testing.T) {
	box := func(x0, y0, x1, y1 float64) geom.Polygon {
		return geom.Rect(geom.Vec{X: x0, Y: y0}, geom.Vec{X: x1, Y: y1})
	}
	for _, c := range []struct {
		name         string
		p, q         geom.Polygon
		holds, meets bool
	}{
		{"well inside", ell, box(0.2, 0.2, 0.8, 0.8), true, true},
		{"touching from inside", ell, box(0, 0, 1, 3), true, true},
		{"the polygon itself", ell, ell, true, true},
		{"all corners in, but across the notch", ell, geom.Polygon{{X: 0.5, Y: 2.9}, {X: 2.9, Y: 0.5}, {X: 0.5, Y: 0.5}},
			false, true},
		{"over the inner corner", ell, box(0.5, 0.5, 1.5, 1.5), false, true},
		{"in the notch", ell, box(1.5, 1.5, 2.5, 2.5), false, false},
		{"touching from outside", ell, box(1, 1, 2, 2), false, true},
		{"around", ell, box(-1, -1, 5, 5), false, true},
		{"crossing without a corner inside", box(0, 0, 3, 1), box(1, -1, 2, 2), false, true},
		{"apart", ell, box(4, 0, 5, 1), false, false},
	} {
		if c.p.Holds(c.q) != c.holds || c.p.Meets(c.q) != c.meets || c.q.Meets(c.p) != c.meets {
			t.Errorf("%s: holds %v, meets %v and %v", c.name, c.p.Holds(c.q), c.p.Meets(c.q), c.q.Meets(c.p))
		}
	}
}

func TestDepth(t *testing.T) {
	a := geom.Rect(geom.Vec{}, geom.Vec{X: 2, Y: 1})
	for _, c := range []struct {
		dx, dy, want float64
	}{{1.9, 0, 0.1}, {0, 0.95, 0.05}, {2, 0, 0}, {2.5, 0, -0.5}, {0, -3, -2}, {0, 0, 1}} {
		if got := geom.Depth(a, a.Placed(geom.Pose{X: c.dx, Y: c.dy})); !near(got, c.want, 1e-12) {
			t.Errorf("moved by %g, %g: depth %g, want %g", c.dx, c.dy, got, c.want)
		}
	}
}

// Two ways to the same answer: convex polygons lie in each other exactly when they have a point in common.
func TestDepthAgreesWithMeets(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		shape := rapid.Custom(func(t *rapid.T) geom.Polygon {
			at := poses().Draw(t, "at")
			at.X, at.Y = at.X/10, at.Y/10
			return geom.Regular(rapid.IntRange(3, 8).Draw(t, "corners"), rapid.Float64Range(0.05, 1).Draw(t, "inner")).Placed(at)
		})
		p, q := shape.Draw(t, "p"), shape.Draw(t, "q")
		if depth := geom.Depth(p, q); math.Abs(depth) > 1e-9 && (depth > 0) != p.Meets(q) {
			t.Errorf("depth %g, but Meets is %v", depth, p.Meets(q))
		}
	})
}

func TestAppendPlacedEqualsPlaced(t *testing.T) {
	at := geom.Pose{X: 1, Y: -2, Heading: 0.7}
	buffer := make(geom.Polygon, 0, 16)
	got := ell.AppendPlaced(buffer, at)
	for i, v := range ell.Placed(at) {
		if got[i] != v {
			t.Errorf("corner %d: %v, want %v", i, got[i], v)
		}
	}
	if n := testing.AllocsPerRun(10, func() { ell.AppendPlaced(buffer[:0], at) }); n != 0 {
		t.Errorf("%g allocations", n)
	}
}

func TestBoundsAndClamp(t *testing.T) {
	low, high := ell.Bounds()
	if low != (geom.Vec{}) || high != (geom.Vec{X: 3, Y: 3}) {
		t.Errorf("bounds %v %v", low, high)
	}
	if geom.Clamp(5, 0, 2) != 2 || geom.Clamp(-5, 0, 2) != 0 || geom.Clamp(1, 0, 2) != 1 {
		t.Error("Clamp leaves its range or changes what is inside")
	}
}
