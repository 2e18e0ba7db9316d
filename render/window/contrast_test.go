package window

import (
	"testing"

	"chalkfield/fields"
	"chalkfield/render/scene"
)

// Every pair of letters and ground that the window writes with. W3C WCAG 2.1, criterion 1.4.3: at least 4.5.
func TestLettersStandOutFromTheirGround(t *testing.T) {
	type pair struct {
		what            string
		letters, ground scene.Colour
	}
	usual := newTheme(scene.Accent) // all but the accent and what is made of it
	pairs := []pair{
		{"words on the page", scene.Chalk, scene.Slate}, {"words on a panel", scene.Chalk, usual.panel},
		{"words on a button", scene.Chalk, usual.raised},
		{"words under the pointer", scene.Chalk, usual.hovered},
		{"second words on the page", scene.Dust, scene.Slate}, {"second words on a panel", scene.Dust, usual.panel},
		{"second words on a button", scene.Dust, usual.raised}, {"second words under the pointer", scene.Dust, usual.hovered},
		{"words of what is off", usual.faint, usual.panel},
		{"what went wrong", scene.Plate, scene.Chalk},
	}
	for _, tint := range scene.Tints() {
		own := newTheme(tint.Accent)
		pairs = append(pairs, []pair{
			{"words of what is chosen", scene.Chalk, own.chosen}, {"second words of what is chosen", scene.Dust, own.chosen},
			{"accent on a panel", own.accent, own.panel}, {"the clock of a drive", own.accent, own.raised},
			{"accent of a lit line", own.accent, own.chosen},
		}...)
	}
	for _, p := range pairs {
		if got := scene.Contrast(p.letters, p.ground); got < scene.TextContrast {
			t.Errorf("%s: contrast %.2f, want %.1f", p.what, got, scene.TextContrast)
		}
	}
	for _, name := range fields.Embedded() {
		field, err := fields.OpenEmbedded(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, side := range field.Sides {
			colour := scene.Legible(scene.ParseColour(side.Colour, scene.Dust), usual.panel, scene.TextContrast)
			if got := scene.Contrast(colour, usual.panel); got < scene.TextContrast {
				t.Errorf("%s, side %s: contrast %.2f", name, side.Name, got)
			}
		}
	}
}
