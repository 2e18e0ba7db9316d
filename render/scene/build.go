package scene

import (
	"math"
	"math/bits"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

// Input is what a picture is made from.
type Input struct {
	Field      *fields.Field
	Record     *record.Record // nil: the field as it is laid out
	Index      *record.Index  // of Record; nil: made at the first Build and kept while Record stays the same
	Log        *record.Record // what the real robot did by its log, as a record of one robot; nil: there is none
	LogDeparts float64        // s: when it departs from the rehearsal; 0: nowhere
	Setpoints  *record.Record // where a table of setpoints wants it, the same
	Mounts     []Mount        // where each robot's mechanisms are, from MountOf; missing: guessed from the outline
	T          float64        // s: shows the sample at or before it
	Units      units.System   // of what is told
	// what else is drawn at a time, over what rests and under what moves; nil: nothing
	Under func(t float64) []Item
	Options
}

// Options choose what a picture shows.
type Options struct {
	Show  Overlay // 0: Usual
	Focus int     // the robot whose trail, plan, ticks and events are shown; -1: all events, the first robot's trail
	From  float64 // s: where the trail, ticks and events begin
	Whole bool    // the whole run: T is the record's end, start poses are drawn as outlines
	Parts int     // the robot, from 1, whose mechanisms are named at their ends; 0: none's
}

// Builder makes scenes and keeps its buffers and all that stays the same from one to the next. The zero Builder is
// ready. A Builder is for one goroutine.
type Builder struct {
	in     Input
	index  *record.Index
	paths  []path // per robot
	log    beside
	table  beside // of setpoints
	ready  bool
	sides  []side
	tint   Tint
	shades []Colour // backs the trail's
	bodies []body
	loads  []load
	robots []machine

	fixed  [layerCount]Layer // floor, zones, lines, walls
	layers [layerCount]Layer
	shown  []Layer
	points []geom.Vec // backs the items' points
	counts []int      // per body: the pieces in it
	wait   []int      // per load: the pieces with its person
	loose  []int      // pieces that a robot holds and that are not drawn yet
	scene  Scene

	sample int // the sample shown, -1: none
}

// Build makes one scene. For many of the same record keep a Builder.
func Build(in Input) *Scene { return new(Builder).Build(in) }

// Build makes the scene of an input. It is valid until the next Build of the same Builder. A scene never shows what the
// record does not hold; a record without samples gives the field as it was laid out and the robots where they start.
func (b *Builder) Build(in Input) *Scene {
	b.prepare(in)
	b.reset()
	b.drawBodies()
	b.drawRobots()
	b.drawBeside(&b.table)
	b.drawWay()
	b.drawBeside(&b.log)
	b.drawDeparture()
	b.drawEvents()
	b.furnishTime()
	b.furnishScore()
	b.shown = b.shown[:0]
	for i := range b.layers {
		overlay := Overlay(1 << i)
		if overlay == Plan && in.Under != nil {
			b.shown = append(b.shown, Layer{Overlay: Plan, Items: in.Under(b.in.T)})
		}
		if b.in.Show.Has(overlay) {
			if !b.in.Show.Has(Labels) {
				b.layers[i].Labels = keepNumbers(b.layers[i].Labels)
			}
			b.shown = append(b.shown, b.layers[i])
		}
	}
	b.scene.Layers = b.shown
	return &b.scene
}

// keepNumbers leaves the labels that belong to their layer even when names are off.
func keepNumbers(labels []Label) []Label {
	kept := labels[:0]
	for _, l := range labels {
		if l.Number > 0 || l.Rank == RankCount || l.Rank == RankTick || l.Rank == RankMinorTick || l.Rank == RankBelief {
			kept = append(kept, l)
		}
	}
	return kept
}

// prepare makes what does not change with time, unless it is there already.
func (b *Builder) prepare(in Input) {
	if in.Show == 0 {
		in.Show = Usual
	}
	if in.Field == nil {
		in.Field = &fields.Field{}
	}
	same := b.ready && in.Field == b.in.Field && in.Record == b.in.Record &&
		in.Log == b.in.Log && in.LogDeparts == b.in.LogDeparts && in.Setpoints == b.in.Setpoints &&
		(in.Index == nil || in.Index == b.index) && in.Focus == b.in.Focus &&
		in.Show == b.in.Show && in.Units == b.in.Units && in.Whole == b.in.Whole && sameMounts(in.Mounts, b.in.Mounts)
	if !same {
		if in.Index == nil {
			in.Index = record.NewIndex(in.Record)
		}
		if in.Index != b.index {
			b.paths = newPaths(in.Index.Record)
		}
		b.log.take(in.Log, logPen)
		b.table.take(in.Setpoints, setpointsPen)
		b.in, b.index, b.ready = in, in.Index, true
		b.sides, b.tint = newSides(in.Field), TintOf(in.Field)
		b.bodies, b.loads = newBodies(b), newLoads(b)
		b.robots = newMachines(b)
		b.scene.Ground = Slate
		b.drawGround()
		b.measure()
		b.furnish()
	}
	b.in.T, b.in.From, b.in.Parts = in.T, in.From, in.Parts
	if in.Whole {
		b.in.T = b.index.End()
	}
	b.sample = b.index.At(b.in.T)
}

func sameMounts(a, b []Mount) bool {
	return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0])
}

// reset empties the layers that change with time and brings back the fixed ones.
func (b *Builder) reset() {
	b.points = b.points[:0]
	for i := range b.layers {
		b.layers[i].Overlay = Overlay(1 << i)
		b.layers[i].Items = append(b.layers[i].Items[:0], b.fixed[i].Items...)
		b.layers[i].Labels = append(b.layers[i].Labels[:0], b.fixed[i].Labels...)
	}
}

// measure finds the extents to show: the floor and what is mounted on it, with a margin; without a floor, the bodies.
func (b *Builder) measure() {
	low, high := b.in.Field.Floor.Bounds()
	include := func(v geom.Vec, margin float64) {
		low = geom.Vec{X: math.Min(low.X, v.X-margin), Y: math.Min(low.Y, v.Y-margin)}
		high = geom.Vec{X: math.Max(high.X, v.X+margin), Y: math.Max(high.Y, v.Y+margin)}
	}
	noFloor := !(high.X > low.X && high.Y > low.Y)
	for _, body := range b.bodies {
		if body.fixed || noFloor {
			for _, v := range body.shape.Placed(body.start.Pose.Geom()) {
				include(v, 0)
			}
		}
	}
	if noFloor {
		include(geom.Vec{}, 1)
		for _, robot := range b.robots {
			include(robot.start.At(), 1)
		}
	}
	margin := 0.03 * math.Max(high.X-low.X, high.Y-low.Y)
	include(low, margin)
	include(high, margin)
	b.scene.Low, b.scene.High = low, high
}

// layer is where an overlay's items go.
func (b *Builder) layer(o Overlay) *Layer { return &b.layers[bits.TrailingZeros32(uint32(o))] }

func (l *Layer) add(item Item)    { l.Items = append(l.Items, item) }
func (l *Layer) label(text Label) { l.Labels = append(l.Labels, text) }

// placed copies a shape into the field's frame, in the builder's own buffer. When the buffer grows, the slices handed
// out before keep the old one, whose content nobody changes.
func (b *Builder) placed(at geom.Pose, shape ...geom.Vec) []geom.Vec {
	from := len(b.points)
	sin, cos := math.Sincos(at.Heading)
	for _, v := range shape {
		b.points = append(b.points, geom.Vec{X: at.X + cos*v.X - sin*v.Y, Y: at.Y + sin*v.X + cos*v.Y})
	}
	return b.points[from:len(b.points):len(b.points)]
}
