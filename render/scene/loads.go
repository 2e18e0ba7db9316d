package scene

import (
	"math"

	"chalkfield/internal/base/geom"
)

// load is how a place is drawn where a person puts pieces down.
type load struct {
	name  string
	at    geom.Pose
	side  side
	place geom.Polygon // about the place: where a piece comes to lie
	rolls bool         // a piece comes with a speed
	count int          // of all its pieces
}

func newLoads(b *Builder) []load {
	var loads []load
	for i := range b.in.Field.Loads {
		l := &b.in.Field.Loads[i]
		kind := &b.in.Field.PieceKinds[l.Kind]
		place := kind.Outline()
		if place == nil {
			place = ring(32, kind.Radius, kind.Radius, 0)
		}
		loads = append(loads, load{Shorten(l.Name, longestName), l.At, b.side(l.Side), place, l.Speed > 0, l.Count})
	}
	return loads
}

// drawLoad draws the place of a load with how many pieces wait of all; an arrow shows where they roll.
func (b *Builder) drawLoad(l *load, at geom.Pose, waiting int) {
	layer := b.layer(Goals)
	colour, radius := l.side.colour, reach(l.place)
	layer.add(Item{Kind: Area, Points: b.placed(at, l.place...), Pen: Pen{Width: 1.6, Colour: colour, Dash: Dashed},
		Avoid: true})
	if l.rolls {
		tip := at.ToWorld(geom.Vec{X: 1.6 * radius})
		layer.add(Item{Kind: Line, Points: b.placed(at, geom.Vec{X: radius}, geom.Vec{X: 1.6 * radius}),
			Pen: Pen{Width: 1.6, Colour: colour}})
		layer.add(Item{Kind: Mark, Shape: Dart, At: tip, Heading: at.Heading, Radius: Size{Metres: math.Min(0.03, radius/2)},
			Fill: colour})
	}
	layer.label(Label{Words: countOf(waiting, l.count), At: at.At(), Centred: true, Clear: Size{Metres: radius}, Size: 13,
		Bold: true, Colour: Chalk, Mark: l.side.mark, Tint: l.side.text, Rank: RankCount})
	layer.label(Label{Words: l.name, At: at.At(), Clear: Size{Metres: radius}, Size: 11, Colour: Dust, Rank: RankGoal,
		MinScale: 90})
}
