package scene

import (
	"math"
	"math/bits"

	"chalkfield/fields"
	"chalkfield/internal/geom"
)

const (
	hatchPitch = 0.05 // m between the lines of a zone's hatch, on a field of everyday size
	deg        = math.Pi / 180
)

// drawGround makes the layers that never change: floor, zones, lines and walls.
func (b *Builder) drawGround() {
	for i := range b.fixed {
		b.fixed[i] = Layer{}
	}
	fixed := func(o Overlay) *Layer { return &b.fixed[bits.TrailingZeros32(uint32(o))] }
	f := b.in.Field
	if len(f.Floor) >= 3 {
		floor := fixed(Floor)
		floor.add(Item{Kind: Area, Points: f.Floor, Fill: SlateTop})
		for _, angle := range []float64{0, 90} {
			floor.strokes(hatch(f.Floor, angle*deg, f.Tile), Pen{Width: 1, Colour: Scratch})
		}
		fixed(Walls).add(Item{Kind: Area, Points: f.Floor, Pen: Pen{Width: 3.5, Colour: Chalk}})
	}
	for _, zone := range f.Zones {
		b.drawZone(fixed(Zones), zone)
	}
	for _, line := range f.Lines {
		layer := fixed(Lines)
		layer.add(Item{Kind: Line, Points: []geom.Vec{line.A, line.B}, Pen: Pen{Width: 1.6, Colour: Dust}})
		layer.label(Label{Words: Shorten(line.Name, longestName), At: geom.Vec{X: line.A.X + (line.B.X-line.A.X)*0.12, Y: line.A.Y + (line.B.Y-line.A.Y)*0.12},
			Size: 11, Colour: Dust, Rank: RankLine})
	}
}

// drawZone tints, hatches and names one zone.
func (b *Builder) drawZone(layer *Layer, zone fields.Zone) {
	own := b.side(zone.Side)
	layer.add(Item{Kind: Area, Points: zone.Shape, Fill: faded(own.colour, 0.10)})
	if zone.Side >= 0 {
		low, high := b.in.Field.Floor.Bounds()
		pitch := math.Max(hatchPitch, math.Max(high.X-low.X, high.Y-low.Y)/80)
		angle := hatchAngles[zone.Side%len(hatchAngles)]
		layer.strokes(hatch(zone.Shape, angle*deg, pitch), Pen{Width: 1, Colour: faded(own.colour, 0.40)})
	}
	layer.add(Item{Kind: Area, Points: zone.Shape, Pen: Pen{Width: 1.8, Colour: own.colour}})
	middle := inside(zone.Shape)
	layer.label(Label{Words: Shorten(zone.Name, longestName), At: middle, Centred: true, Clear: Size{Metres: zone.Shape.Distance(middle)}, Size: 13, Colour: own.text, Mark: own.mark, Tint: own.text, Rank: RankZone})
}

// strokes adds segments given as pairs of points.
func (l *Layer) strokes(pairs []geom.Vec, pen Pen) {
	for i := 0; i+1 < len(pairs); i += 2 {
		l.add(Item{Kind: Line, Points: pairs[i : i+2], Pen: pen})
	}
}
