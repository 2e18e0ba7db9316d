package scene

import "chalkfield/fields"

// side is how a side is drawn: colour, mark and the slant of its hatch all tell it.
type side struct {
	name         string
	colour, text Colour // of shapes on the floor, of words on a plate
	mark         Shape
}

// hatchAngles are the slants of the first sides' zones, degrees; further ones begin again.
var hatchAngles = [...]float64{45, 135, 0, 90}

func newSides(f *fields.Field) []side {
	sides := make([]side, len(f.Sides))
	for i, s := range f.Sides {
		colour := ParseColour(s.Colour, Dust)
		sides[i] = side{s.Name, Legible(colour, SlateTop, ShapeContrast), Legible(colour, Slate, TextContrast),
			ParseShape(s.Mark)}
	}
	return sides
}

// neutral is what belongs to no side.
var neutral = side{colour: Dust, text: Dust}

func (b *Builder) side(i int) side {
	if i < 0 || i >= len(b.sides) {
		return neutral
	}
	return b.sides[i]
}
