package scene

import (
	"math"
	"math/bits"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

const (
	hatchPitch = 0.05 // m between the lines of a zone's hatch, on a field of everyday size
	roomEnough = 0.4  // m from a body: a label beside a line is free of it
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
		floor.coordinates(b.in.Units, f)
		fixed(Walls).add(Item{Kind: Area, Points: f.Floor, Pen: Pen{Width: 3.5, Colour: Chalk}, Avoid: true})
	}
	hands := f.HandZones()
	for i, zone := range f.Zones {
		b.drawZone(fixed(Zones), zone, slices.Contains(hands, i))
	}
	for _, start := range f.Starts {
		b.drawStart(fixed(Zones), start)
	}
	for _, line := range f.Lines {
		layer := fixed(Lines)
		layer.add(Item{Kind: Area, Points: line.Outline(), Fill: faded(Dust, 0.18)})
		layer.add(Item{Kind: Line, Points: []geom.Vec{line.A, line.B}, Pen: Pen{Width: 1.6, Colour: Dust}})
		layer.label(Label{Words: Shorten(line.Name, longestName), At: b.free(line.A, line.B), Size: 11, Colour: Dust,
			Rank: RankLine})
	}
	for _, mark := range f.Marks {
		drawMark(fixed(Lines), mark)
	}
}

// drawMark draws a mark as a diamond, one that is seen from one side only with a bar before it, and names it.
func drawMark(layer *Layer, mark fields.Mark) {
	const size = 0.045 // m
	at := mark.At.At()
	layer.add(Item{Kind: Mark, Shape: Diamond, At: at, Radius: Size{Metres: size}, Fill: Slate,
		Pen: Pen{Width: 1.5, Colour: Dust}, Avoid: true})
	if mark.Flat {
		front := []geom.Vec{mark.At.ToWorld(geom.Vec{X: size, Y: -size}), mark.At.ToWorld(geom.Vec{X: size, Y: size})}
		layer.add(Item{Kind: Line, Points: front, Pen: Pen{Width: 2, Colour: Dust}})
	}
	layer.label(Label{Words: Shorten(mark.Name, longestName), At: at, Clear: Size{Metres: size, Pixels: 2}, Size: 11,
		Colour: Dust, Rank: RankLine})
}

// free is the place on a line, among some towards its ends, that is farthest from the bodies as they are laid out.
func (b *Builder) free(from, to geom.Vec) geom.Vec {
	best, room := from, -1.0
	for _, share := range []float64{0.12, 0.2, 0.28, 0.36, 0.64, 0.72, 0.8, 0.88} {
		at := geom.Vec{X: from.X + (to.X-from.X)*share, Y: from.Y + (to.Y-from.Y)*share}
		least := roomEnough
		for i := range b.bodies {
			start := b.bodies[i].start
			if start.In == record.OnFloor {
				least = math.Min(least, distance(at, start.Pose.Geom().At())-b.bodies[i].radius)
			}
		}
		if least > room {
			best, room = at, least
		}
	}
	return best
}

// coordinates puts numbers below and left of the floor: at the tile grid's places, in mm as routines write them, or in
// inches.
func (l *Layer) coordinates(in units.System, f *fields.Field) {
	low, high := f.Floor.Bounds()
	step := f.Tile
	for k, x := range gridPlaces(low.X, high.X, step) {
		l.coordinate(in, geom.Vec{X: x, Y: low.Y}, x, geom.Vec{Y: 1}, gridScale(k, step))
	}
	for k, y := range gridPlaces(low.Y, high.Y, step) {
		l.coordinate(in, geom.Vec{X: low.X, Y: y}, y, geom.Vec{X: -1}, gridScale(k, step))
	}
}

func (l *Layer) coordinate(in units.System, at geom.Vec, value float64, side geom.Vec, minScale float64) {
	l.label(Label{Words: in.Mark(value), At: at, Clear: Size{Pixels: 3}, Beside: side, Size: 11, Colour: Dust,
		Rank: RankGrid, MinScale: minScale})
}

// gridPlaces are the multiples of a tile from low to high; none when they are too many to be a grid.
func gridPlaces(low, high, tile float64) []float64 {
	const slack = 1e-6 // m: an edge of the floor that is a multiple but for rounding
	if !(tile > 0) || !((high-low)/tile < mostHatch) {
		return nil
	}
	var places []float64
	for k := math.Ceil((low - slack) / tile); k*tile <= high+slack; k++ {
		places = append(places, k*tile)
	}
	return places
}

// gridScale is the scale from which the k-th number of a grid is wanted, so that they keep apart: at smaller ones every
// second stands alone, then every fourth.
func gridScale(k int, tile float64) float64 {
	const apart = 42.0 // pixels from number to number
	switch {
	case k == 0:
		return 0
	case k%4 == 0:
		return apart / (4 * tile)
	case k%2 == 0:
		return apart / (2 * tile)
	}
	return apart / tile
}

// drawZone tints, hatches and names one zone. Where people have their hands its edge is dashed, and the name says so.
func (b *Builder) drawZone(layer *Layer, zone fields.Zone, hands bool) {
	own := b.side(zone.Side)
	layer.add(Item{Kind: Area, Points: zone.Shape, Fill: faded(own.colour, 0.10)})
	if zone.Side >= 0 {
		low, high := b.in.Field.Floor.Bounds()
		pitch := math.Max(hatchPitch, math.Max(high.X-low.X, high.Y-low.Y)/80)
		angle := hatchAngles[zone.Side%len(hatchAngles)]
		layer.strokes(hatch(zone.Shape, angle*deg, pitch), Pen{Width: 1, Colour: faded(own.colour, 0.40)})
	}
	edge, name := Pen{Width: 1.8, Colour: own.colour}, Shorten(zone.Name, longestName)
	if hands {
		edge.Dash, name = Dashed, name+" (hands)"
	}
	layer.add(Item{Kind: Area, Points: zone.Shape, Pen: edge})
	middle := inside(zone.Shape)
	layer.label(Label{Words: name, At: middle, Centred: true,
		Clear: Size{Metres: zone.Shape.Distance(middle)}, Size: 13, Colour: own.text, Mark: own.mark, Tint: own.text,
		Rank: RankZone})
}

// startSize is the radius at which a starting place is drawn, m.
const startSize = 0.09

// drawStart draws a starting place as a ring with a dart in its heading.
func (b *Builder) drawStart(layer *Layer, start fields.Start) {
	own, at := b.side(start.Side), start.At.At()
	layer.add(Item{Kind: Disc, At: at, Radius: Size{Metres: startSize},
		Pen: Pen{Width: 1.5, Colour: own.colour, Dash: Dotted}})
	layer.add(Item{Kind: Mark, Shape: Dart, At: at, Radius: Size{Metres: startSize * 0.6}, Heading: start.At.Heading,
		Fill: faded(own.colour, 0.7)})
	layer.label(Label{Words: Shorten(start.Name, longestName), At: at, Clear: Size{Metres: startSize}, Size: 11,
		Colour: own.text, Rank: RankLine})
}

// strokes adds segments given as pairs of points.
func (l *Layer) strokes(pairs []geom.Vec, pen Pen) {
	for i := 0; i+1 < len(pairs); i += 2 {
		l.add(Item{Kind: Line, Points: pairs[i : i+2], Pen: pen})
	}
}
