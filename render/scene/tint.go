package scene

import "chalkfield/fields"

// Tint is the one colour that belongs to no side: the routine's own trail and events, and what a person has chosen.
type Tint struct {
	Accent Colour
	Shades [speedSteps]Colour // from slow to fast: one hue, so that lightness alone tells them apart
}

const speedSteps = 6

// Tints are all that TintOf may give.
func Tints() []Tint { return tints[:] }

// tints are the accents to choose from, the usual one first. Any two are so far apart (46 or more, CIE76) that a colour
// nearer than AccentApart to one is farther than that from all others; a field has at most four sides, so one is always
// free.
var tints = [...]Tint{
	{Accent, [speedSteps]Colour{hex(0x806fc8), hex(0x9383e0), hex(0xa99af2), hex(0xc2b5fb), hex(0xddd4ff), hex(0xfbf8ff)}},
	newTint(hex(0x5fd4f4)),
	newTint(hex(0xff8fb4)),
	newTint(hex(0xffb84d)),
	newTint(hex(0x8fe070)),
}

// newTint makes the shades of an accent, from darker than it to nearly white.
func newTint(accent Colour) Tint {
	white := hex(0xffffff)
	return Tint{accent, [speedSteps]Colour{
		Mix(accent, Slate, 0.36), Mix(accent, Slate, 0.26), Mix(accent, Slate, 0.13), Mix(accent, white, 0.15),
		Mix(accent, white, 0.55), Mix(accent, white, 0.95),
	}}
}

const (
	// AccentApart is how far an accent is from every side's colour, at least (CIE76). 2.3 is just noticeable side by side
	// (M. Mahy, L. Van Eycken, A. Oosterlinck, Color Res. Appl. 19, 1994, from memory); for thin lines and small marks
	// apart from each other some nine times that is common practice, no source.
	AccentApart = 20.0

	// seenApart is the same for eyes that lack a kind of cone, as far as the choice allows.
	seenApart = 10.0
)

// TintOf is the accent for a field: the first that keeps its distance from its sides' colours, for eyes that lack red
// or green cones too where one does. nil gives the usual one.
func TintOf(f *fields.Field) Tint {
	if f == nil {
		return tints[0]
	}
	var colours []Colour
	for _, s := range newSides(f) {
		colours = append(colours, s.colour)
	}
	return tintFor(colours)
}

func tintFor(sides []Colour) Tint {
	best := -1
	for i, t := range tints {
		if apart(t.Accent, sides, Unchanged) < AccentApart {
			continue
		}
		if min(apart(t.Accent, sides, Protanope), apart(t.Accent, sides, Deuteranope)) >= seenApart {
			return t
		}
		if best < 0 {
			best = i
		}
	}
	return tints[max(best, 0)]
}

// apart is the least difference of a colour from others, as eyes of a kind see them.
func apart(c Colour, others []Colour, as Eye) float64 {
	least := 1000.0
	for _, other := range others {
		least = min(least, Difference(as.Sees(c), as.Sees(other)))
	}
	return least
}
