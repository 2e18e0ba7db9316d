package paint

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
)

// Theme is how the colours of the slate are shown: each with another luminance. The contrast of two colours is the
// ratio of their luminances, each with glare added (W3C, Web Content Accessibility Guidelines 2.2, "contrast ratio"),
// so a theme that turns luminances by a power of themselves keeps or raises every contrast that the slate has.
type Theme struct {
	Name   string  // "slate", "light", "contrast"
	Words  string  // what it is called where there is room
	power  float64 // to which contrasts are raised
	ground float64 // luminance of what is the slate's darkest ground
}

// Slate shows the colours as they are, as the zero Theme does.
var Slate = Theme{Name: "slate", Words: "slate"}

// Themes are all there are.
var Themes = []Theme{Slate, {"light", "light", -1, 1}, {"contrast", "high contrast", steeper, 0}}

const (
	glare = 0.05 // of WCAG's contrast ratio

	// steeper is the power by which the high-contrast theme raises contrasts: 4.5 (WCAG 2.2, criterion 1.4.3) becomes 7
	// (criterion 1.4.6), with a little to spare for rounding.
	steeper = 1.31
)

// ThemeOf is the theme of a name; the slate where none has it.
func ThemeOf(name string) Theme {
	for _, t := range Themes {
		if t.Name == name {
			return t
		}
	}
	return Slate
}

// After is the theme that follows this one.
func (t Theme) After() Theme {
	for i, other := range Themes {
		if other.Name == t.Name {
			return Themes[(i+1)%len(Themes)]
		}
	}
	return Themes[1]
}

// Own reports whether every colour is shown as it is.
func (t Theme) Own() bool { return t.power == 0 }

// Tone is what is shown for a colour.
func (t Theme) Tone(c scene.Colour) scene.Colour {
	if t.Own() {
		return c
	}
	return withLuminance(c, turned(scene.Luminance(c), t.power, t.ground))
}

// On is a painter that puts down on another one what the theme shows.
func (t Theme) On(p Painter) Painter {
	if t.Own() {
		return p
	}
	return toned{p, t}
}

type toned struct {
	to Painter
	Theme
}

func (t toned) Fill(corners []geom.Vec, c scene.Colour) { t.to.Fill(corners, t.Tone(c)) }

func (t toned) Stroke(lines [][]geom.Vec, closed bool, width float64, c scene.Colour) {
	t.to.Stroke(lines, closed, width, t.Tone(c))
}

func (t toned) Disc(at geom.Vec, radius float64, c scene.Colour) { t.to.Disc(at, radius, t.Tone(c)) }

func (t toned) Ring(at geom.Vec, radius, width float64, c scene.Colour) {
	t.to.Ring(at, radius, width, t.Tone(c))
}

func (t toned) Text(words Text) {
	words.Colour, words.On = t.Tone(words.Colour), t.Tone(words.On)
	t.to.Text(words)
}

// turned is a luminance of which the contrast to that of the slate's darkest ground is raised to a power, when that
// ground has the luminance ground.
func turned(luminance, power, ground float64) float64 {
	contrast := (luminance + glare) / (scene.Luminance(scene.Plate) + glare)
	return min(max((ground+glare)*math.Pow(contrast, power)-glare, 0), 1)
}

// withLuminance is a colour of the same hue, or of less of it where a screen has no such colour, with a luminance.
func withLuminance(c scene.Colour, luminance float64) scene.Colour {
	was := scene.Luminance(c)
	rgb := [3]float64{linear(c.R), linear(c.G), linear(c.B)}
	least := 1.0 // how much of the hue there is room for
	for i, v := range rgb {
		if rgb[i] = luminance; was > 0 {
			rgb[i] = v * luminance / was
		}
		if rgb[i] > 1 {
			least = math.Min(least, (1-luminance)/(rgb[i]-luminance))
		}
	}
	if luminance > was { // the tinge of a dark colour would be gaudy in a light one
		least *= math.Sqrt(was / luminance)
	}
	for i := range rgb {
		rgb[i] = luminance + (rgb[i]-luminance)*least
	}
	return scene.Colour{R: coded(rgb[0]), G: coded(rgb[1]), B: coded(rgb[2]), A: c.A}
}

// linear and coded are sRGB's own curve and its inverse (IEC 61966-2-1, from memory).
func linear(channel uint8) float64 {
	v := float64(channel) / 255
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

func coded(v float64) uint8 {
	v = min(max(v, 0), 1)
	if v <= 0.0031308 {
		return uint8(255*12.92*v + 0.5)
	}
	return uint8(255*(1.055*math.Pow(v, 1/2.4)-0.055) + 0.5)
}
