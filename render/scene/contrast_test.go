package scene

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"chalkfield/internal/base/property"
)

// WCAG 2.1's own figures: black on white is 21:1 (definition of contrast ratio). The greys are the well known
// neighbours of the 4.5 limit on white, #767676 (4.54) and #777777 (4.48), from memory.
func TestContrastMeetsPublishedValues(t *testing.T) {
	white, black := hex(0xffffff), hex(0)
	for _, c := range []struct {
		a, b Colour
		want float64
	}{
		{black, white, 21}, {white, black, 21}, {white, white, 1}, {hex(0x767676), white, 4.54}, {hex(0x777777), white, 4.48},
		{hex(0xff0000), black, 0.2626 / 0.05}, // L of pure red is its coefficient 0.2126
	} {
		if got := Contrast(c.a, c.b); math.Abs(got-c.want) > 0.005 {
			t.Errorf("Contrast(%v, %v) = %.4f, want %.2f", c.a, c.b, got, c.want)
		}
	}
}

// A map's numbers stand on every shade of its scale, and a greater score is never the darker one.
func TestMapShadesAreReadableAndInOrder(t *testing.T) {
	last := 0.0
	for k := range 101 {
		shade := ScoreShade(float64(k) / 100)
		if got := Contrast(InkOn(shade), shade); got < TextContrast {
			t.Errorf("share %d %%: contrast %.2f", k, got)
		}
		if light := Luminance(shade); light < last {
			t.Errorf("share %d %% is darker than the one before", k)
		} else {
			last = light
		}
	}
}

func TestPaletteIsReadable(t *testing.T) {
	for name, ground := range map[string]Colour{"slate": Slate, "plate": Plate, "floor": SlateTop} {
		for text, c := range map[string]Colour{"chalk": Chalk, "dust": Dust, "accent": Accent,
			"accent 2": tints[1].Accent, "accent 3": tints[2].Accent, "accent 4": tints[3].Accent, "accent 5": tints[4].Accent} {
			if got := Contrast(c, ground); got < TextContrast {
				t.Errorf("%s on %s: %.2f, want at least %.1f", text, name, got, TextContrast)
			}
		}
	}
	for k, tint := range tints {
		for i, c := range tint.Shades {
			if got := Contrast(c, SlateTop); got < ShapeContrast {
				t.Errorf("accent %d, shade %d on the floor: %.2f, want at least %.1f", k, i, got, ShapeContrast)
			}
			if i > 0 && Luminance(c) < 1.1*Luminance(tint.Shades[i-1]) {
				t.Errorf("accent %d, shade %d is not clearly lighter than the one before", k, i)
			}
		}
	}
}

func TestAnyColourOfAFileBecomesLegible(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		c := hex(rapid.Uint32Range(0, 0xffffff).Draw(t, "colour"))
		for _, ground := range []Colour{Slate, SlateTop, Plate} {
			for _, want := range []float64{TextContrast, ShapeContrast} {
				if got := Contrast(Legible(c, ground, want), ground); got < want {
					t.Fatalf("Legible(%v) on %v: %.2f, want at least %.1f", c, ground, got, want)
				}
			}
			if Contrast(c, ground) >= TextContrast && Legible(c, ground, TextContrast) != c {
				t.Fatalf("%v is legible on %v and was changed", c, ground)
			}
		}
	})
}

func TestParseColourReadsSixDigitsOnly(t *testing.T) {
	for text, want := range map[string]Colour{
		"#d9a13b": hex(0xd9a13b), "#D9A13B": hex(0xd9a13b), "": Dust, "#fff": Dust, "d9a13b7": Dust, "#d9a1gg": Dust,
		"#+9a13b": Dust, "#-00001": Dust,
	} {
		if got := ParseColour(text, Dust); got != want {
			t.Errorf("ParseColour(%q) = %v, want %v", text, got, want)
		}
	}
}
