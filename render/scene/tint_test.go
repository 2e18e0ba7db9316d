package scene

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"chalkfield/fields"
	"chalkfield/internal/base/property"
)

// CIELAB of sRGB's primaries as published in many tables (Lindbloom's calculator, D65): red 53.2, 80.1, 67.2; green
// 87.7, -86.2, 83.2; blue 32.3, 79.2, -107.9; from memory.
func TestLabMeetsPublishedValues(t *testing.T) {
	for c, want := range map[uint32][3]float64{
		0xff0000: {53.2, 80.1, 67.2}, 0x00ff00: {87.7, -86.2, 83.2}, 0x0000ff: {32.3, 79.2, -107.9}, 0xffffff: {100, 0, 0},
		0: {0, 0, 0},
	} {
		got := lab(hex(c))
		for i := range got {
			if math.Abs(got[i]-want[i]) > 0.15 {
				t.Errorf("%06x: %.2f, want %.1f", c, got, want)
			}
		}
	}
	if d := Difference(hex(0xffffff), hex(0)); math.Abs(d-100) > 0.05 {
		t.Errorf("black and white differ by %g, want 100", d)
	}
}

// Greys look the same to every eye, and to eyes that lack red or green cones a red and a green that differ much are
// nearer.
func TestEyesWithoutAConeConfuseRedAndGreen(t *testing.T) {
	red, green := hex(0xc05030), hex(0x6f8a20)
	for _, eye := range []Eye{Protanope, Deuteranope} {
		for _, grey := range []Colour{hex(0x202020), hex(0x808080), hex(0xe0e0e0)} {
			if d := Difference(grey, eye.Sees(grey)); d > 3 {
				t.Errorf("eye %d sees the grey %v off by %.1f", eye, grey, d)
			}
		}
		if all, seen := Difference(red, green), Difference(eye.Sees(red), eye.Sees(green)); seen > 0.5*all {
			t.Errorf("eye %d tells red from green by %.1f of %.1f", eye, seen, all)
		}
	}
}

// Whatever colours a field gives its sides, the accent is another one.
func TestTheAccentKeepsItsDistanceFromEverySide(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		var sides []Colour
		for range rapid.IntRange(0, 4).Draw(t, "sides") {
			sides = append(sides, Legible(hex(rapid.Uint32Range(0, 0xffffff).Draw(t, "colour")), SlateTop, ShapeContrast))
		}
		if got := apart(tintFor(sides).Accent, sides, Unchanged); got < AccentApart {
			t.Fatalf("%.1f from a side of %v", got, sides)
		}
	})
	for i, a := range tints { // why the law holds
		for _, b := range tints[:i] {
			if d := Difference(a.Accent, b.Accent); d < 2*AccentApart {
				t.Errorf("%v and %v are %.1f apart", a.Accent, b.Accent, d)
			}
		}
		for _, c := range []Colour{Chalk, Dust} {
			if d := Difference(a.Accent, c); d < AccentApart {
				t.Errorf("%v and %v are %.1f apart", a.Accent, c, d)
			}
		}
	}
}

func TestTheAccentOfTheEmbeddedFields(t *testing.T) {
	for _, name := range fields.Embedded() {
		field, err := fields.OpenEmbedded(name)
		if err != nil {
			t.Fatal(err)
		}
		var sides []Colour
		for _, s := range newSides(field) {
			sides = append(sides, s.colour)
		}
		accent := TintOf(field).Accent
		if d := apart(accent, sides, Unchanged); d < AccentApart {
			t.Errorf("%s: %.1f from a side", name, d)
		}
		for _, eye := range []Eye{Protanope, Deuteranope} {
			if d := apart(accent, sides, eye); d < seenApart {
				t.Errorf("%s, eye %d: %.1f from a side", name, eye, d)
			}
		}
	}
	if TintOf(nil) != tints[0] {
		t.Error("without a field the accent is not the usual one")
	}
}
