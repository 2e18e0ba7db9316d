package paint

import (
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
)

// A theme's colour has the luminance asked for, and the hue of its own as far as there is such a colour.
func TestAColourIsGivenAnotherLuminance(t *testing.T) {
	for _, c := range []scene.Colour{scene.Chalk, scene.Dust, scene.Slate, scene.Plate, scene.Accent, {R: 217, G: 161,
		B: 59, A: 255}, {B: 255, A: 255}, {A: 255}} {
		for y := 0.0; y <= 1; y += 0.05 {
			got := withLuminance(c, y)
			if off := scene.Luminance(got) - y; off > 0.006 || off < -0.006 || got.A != c.A {
				t.Errorf("%v at %.2f is %v, of %.4f", c, y, got, scene.Luminance(got))
			}
		}
		if got := withLuminance(c, scene.Luminance(c)); got != c {
			t.Errorf("%v at its own luminance is %v", c, got)
		}
	}
}

// What is painted in a theme has its colours, whatever is painted; in the slate it goes straight through.
func TestAThemeColoursAllThatIsPainted(t *testing.T) {
	for _, theme := range Themes {
		var got inked
		p := theme.On(&got)
		p.Fill([]geom.Vec{{}, {X: 1}, {Y: 1}}, scene.Dust)
		p.Stroke([][]geom.Vec{{{}, {X: 1}}}, false, 1, scene.Accent)
		p.Disc(geom.Vec{}, 1, scene.SlateTop)
		p.Ring(geom.Vec{}, 1, 1, scene.Slate)
		p.Text(Text{Words: "it", Colour: scene.Chalk, On: scene.Plate})
		for i, own := range []scene.Colour{scene.Dust, scene.Accent, scene.SlateTop, scene.Slate, scene.Chalk, scene.Plate} {
			if want := theme.Tone(own); got[i] != want || (got[i] == own) != theme.Own() {
				t.Errorf("%s: %v is painted as %v, want %v", theme.Words, own, got[i], want)
			}
		}
	}
}

// inked keeps the colours painted with.
type inked []scene.Colour

func (k *inked) Fill(_ []geom.Vec, c scene.Colour)                        { *k = append(*k, c) }
func (k *inked) Stroke(_ [][]geom.Vec, _ bool, _ float64, c scene.Colour) { *k = append(*k, c) }
func (k *inked) Disc(_ geom.Vec, _ float64, c scene.Colour)               { *k = append(*k, c) }
func (k *inked) Ring(_ geom.Vec, _, _ float64, c scene.Colour)            { *k = append(*k, c) }
func (k *inked) Text(words Text)                                          { *k = append(*k, words.Colour, words.On) }
