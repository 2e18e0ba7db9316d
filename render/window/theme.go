package window

import (
	"math"

	"chalkfield/internal/base/units"
	"chalkfield/render/scene"
	"chalkfield/render/window/canvas"
)

// A theme's colours are those of the slate with another luminance. The contrast of two colours is the ratio of their
// luminances, each with glare added (W3C, Web Content Accessibility Guidelines 2.2, "contrast ratio"), so a theme that
// turns luminances by a power of themselves keeps or raises every contrast that the slate has.
var themes = []struct {
	name, words string
	tone        canvas.Tone // nil: the slate's own colours
}{
	{"", "slate", nil},
	{"light", "light", func(c scene.Colour) scene.Colour { return withLuminance(c, turned(scene.Luminance(c), -1, 1)) }},
	{"contrast", "high contrast", func(c scene.Colour) scene.Colour {
		return withLuminance(c, turned(scene.Luminance(c), steeper, 0))
	}},
}

const (
	glare = 0.05 // of WCAG's contrast ratio

	// steeper is the power by which the high-contrast theme raises contrasts: 4.5 (WCAG 2.2, criterion 1.4.3) becomes 7
	// (criterion 1.4.6), with a little to spare for rounding.
	steeper = 1.31
)

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

// tone is that of the theme chosen.
func (g *game) tone() canvas.Tone {
	for _, t := range themes {
		if t.name == g.memory.Theme {
			return t.tone
		}
	}
	return nil
}

// nextUnits shows quantities in the other system, and remembers it.
func (g *game) nextUnits() {
	in := units.System((int(g.model.Units) + 1) % len(units.Systems))
	g.memory.Measure(in)
	g.showIn(in)
	g.model.Say(map[units.System]string{units.Metric: "Quantities are in metric units.",
		units.Inch: "Quantities are in inches and feet, pounds and psi; files and routines keep their own."}[in])
}

// showIn shows quantities in a system: what the actions are called has some, too.
func (g *game) showIn(in units.System) {
	g.model.ShowIn(in)
	g.actions = g.allActions()
}

// nextTheme takes the theme after the one chosen.
func (g *game) nextTheme() {
	at := 0
	for i, t := range themes {
		if t.name == g.memory.Theme {
			at = (i + 1) % len(themes)
		}
	}
	g.memory.Dress(themes[at].name)
	g.model.Say("The window is " + themes[at].words + ".")
}
