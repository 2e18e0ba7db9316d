package scene

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// bench is a robot's drawing surface for its mechanisms: a robot, where it is, and the layer they go to.
type bench struct {
	b     *Builder
	layer *Layer
	robot *machine
	pose  geom.Pose
	at    PartMount
	busy  Pen // of what works
	rest  Pen // of what does not
}

// drawParts draws the state of each mechanism in a few strokes: what works is chalk, what rests is faint.
func (b *Builder) drawParts(m *machine, pose geom.Pose, states []record.PartSample) {
	k := bench{b: b, layer: b.layer(Robots), robot: m, pose: pose,
		busy: Pen{Width: 2, Colour: Chalk}, rest: Pen{Width: 1.5, Colour: Mix(m.side.colour, Plate, 0.35)}}
	held := m.held
	for i, state := range states {
		if i >= len(m.parts) || i >= len(m.mount.Parts) {
			break
		}
		k.at = m.mount.Parts[i]
		if draw := kinds[robot.Kind(m.parts[i].Kind)].state; draw != nil {
			draw(&k, state)
		}
	}
	k.load(held)
}

// line draws a polyline in the mechanism's own frame.
func (k *bench) line(pen Pen, points ...geom.Vec) {
	k.layer.add(Item{Kind: Line, Points: k.b.placed(k.pose.Compose(k.at.At), points...), Pen: pen})
}

// load draws the pieces that the robot holds as a row of small cores along its middle.
func (k *bench) load(held []int) {
	low, high := k.robot.low, k.robot.high
	length := high.X - low.X
	radius := math.Min(0.09*length, 0.35*length/float64(max(len(held), 1)))
	for i, id := range held {
		piece := &k.b.bodies[id]
		x := low.X + 0.2*length + 0.6*length*(float64(i)+0.5)/float64(len(held))
		at := k.pose.ToWorld(geom.Vec{X: x, Y: high.Y - 0.14*(high.Y-low.Y)})
		k.layer.add(Item{Kind: Disc, At: at, Radius: Size{Metres: radius}, Fill: piece.fill,
			Pen: Pen{Width: 1.5, Colour: piece.line}})
	}
}
