package scene

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"pgregory.net/rapid"
)

// star is a star-shaped polygon with random radii: concave, never crossing itself.
func star(t *rapid.T) geom.Polygon {
	n := rapid.IntRange(3, 12).Draw(t, "corners")
	p := make(geom.Polygon, n)
	for i := range p {
		r := rapid.Float64Range(0.2, 2).Draw(t, "radius")
		u := geom.Unit(2 * math.Pi * float64(i) / float64(n))
		p[i] = geom.Vec{X: 3 + r*u.X, Y: -1 + r*u.Y}
	}
	return p
}

// The lengths of parallel chords times their spacing are the area (Cavalieri); with chords at multiples of the spacing
// this is a Riemann sum, off by at most the variation of the chord length times the spacing.
func TestHatchCoversTheInsideOnly(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		shape := star(t)
		angle := rapid.Float64Range(-4, 4).Draw(t, "angle")
		const spacing = 0.02
		var length float64
		lines := hatch(shape, angle, spacing)
		for i := 0; i+1 < len(lines); i += 2 {
			a, b := lines[i], lines[i+1]
			length += distance(a, b)
			middle := geom.Vec{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2}
			if !shape.Contains(middle) && shape.Distance(middle) > 1e-9 {
				t.Fatalf("hatch line %v-%v runs outside", a, b)
			}
		}
		area := math.Abs(shape.Area())
		if got := length * spacing; math.Abs(got-area) > spacing*8*float64(len(shape)) {
			t.Fatalf("hatch covers %.4f m^2 of %.4f", got, area)
		}
	})
}

func TestHatchOfAnOddPitchIsEmpty(t *testing.T) {
	for _, pitch := range []float64{0, -1, math.NaN(), 1e-9, math.Inf(1)} {
		if got := hatch(geom.Rect(geom.Vec{X: 0.1, Y: 0.1}, geom.Vec{X: 1, Y: 1}), 0, pitch); len(got) != 0 {
			t.Errorf("pitch %v gives %d lines", pitch, len(got)/2)
		}
	}
}

func TestInsideFindsAPlaceInBentShapes(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		shape := star(t)
		if at := inside(shape); !shape.Contains(at) {
			t.Fatalf("%v is not inside %v", at, shape)
		}
	})
	bent := geom.Polygon{{X: 0, Y: 0}, {X: 3, Y: 0}, {X: 3, Y: 0.2}, {X: 0.2, Y: 0.2}, {X: 0.2, Y: 3}, {X: 0, Y: 3}}
	if at := inside(bent); !bent.Contains(at) {
		t.Errorf("%v is not inside the bent shape", at)
	}
}
