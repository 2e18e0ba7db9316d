package window

import (
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/fields"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// letters is a pair of letters and ground that the window writes with.
type letters struct {
	what        string
	ink, ground scene.Colour
}

// everyLetters are all such pairs: of the window, of the labels on the field, of every field's sides.
func everyLetters(t *testing.T) []letters {
	usual := newTheme(scene.Accent) // all but the accent and what is made of it
	pairs := []letters{
		{"words on the page", scene.Chalk, scene.Slate}, {"words on a panel", scene.Chalk, usual.panel},
		{"words on a button", scene.Chalk, usual.raised}, {"words under the pointer", scene.Chalk, usual.hovered},
		{"second words on the page", scene.Dust, scene.Slate}, {"second words on a panel", scene.Dust, usual.panel},
		{"second words on a button", scene.Dust, usual.raised}, {"second words under the pointer", scene.Dust, usual.hovered},
		{"words of what is off", usual.faint, usual.panel}, {"what went wrong", scene.Plate, scene.Chalk},
	}
	for _, tint := range scene.Tints() {
		own := newTheme(tint.Accent)
		pairs = append(pairs, []letters{
			{"words of what is chosen", scene.Chalk, own.chosen}, {"second words of what is chosen", scene.Dust, own.chosen},
			{"accent on a panel", own.accent, own.panel}, {"the clock of a drive", own.accent, own.raised},
			{"accent of a lit line", own.accent, own.chosen},
		}...)
	}
	for _, name := range fields.Embedded() {
		field, err := fields.OpenEmbedded(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, side := range field.Sides {
			colour := scene.Legible(scene.ParseColour(side.Colour, scene.Dust), usual.panel, scene.TextContrast)
			pairs = append(pairs, letters{name + ", side " + side.Name, colour, usual.panel})
		}
	}
	return pairs
}

// In every theme letters have a contrast of at least 4.5 (W3C, WCAG 2.2, criterion 1.4.3), in the one of high contrast
// at least 7 (criterion 1.4.6); shapes with a meaning have at least 3 on the floor (1.4.11).
func TestLettersStandOutFromTheirGroundInEveryTheme(t *testing.T) {
	for _, theme := range paint.Themes {
		tone, want := theme.Tone, scene.TextContrast
		if theme.Name == "contrast" {
			want = 7
		}
		for _, p := range everyLetters(t) {
			if got := scene.Contrast(tone(p.ink), tone(p.ground)); got < want {
				t.Errorf("%s, %s: contrast %.2f, want %.1f", theme.Words, p.what, got, want)
			}
		}
		for _, tint := range scene.Tints() {
			for i, shade := range tint.Shades {
				if got := scene.Contrast(tone(shade), tone(scene.SlateTop)); got < scene.ShapeContrast-0.02 {
					t.Errorf("%s, shade %d of %v on the floor: contrast %.2f", theme.Words, i, tint.Accent, got)
				}
			}
		}
	}
}

// F2 goes through the themes, each is kept, and what was drawn before is drawn anew.
func TestTheThemeIsChosenAndKept(t *testing.T) {
	g := sized(t, 960, 600)
	g.draws(t, "slate")
	for _, want := range []string{"light", "contrast", "slate"} {
		print := g.strip.kept.kept
		g.keyed(ebiten.KeyF2)
		g.draws(t, "theme "+want)
		if g.memory.Theme != want || g.dress != want || g.strip.kept.kept == print {
			t.Errorf("theme %q, drawn in %q, want %q", g.memory.Theme, g.dress, want)
		}
	}
}
