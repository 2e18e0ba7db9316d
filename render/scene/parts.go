package scene

import (
	"math"
	"slices"

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
	b.loose = append(b.loose[:0], m.held...)
	loose := b.loose
	for i, state := range states {
		if i >= len(m.parts) || i >= len(m.mount.Parts) {
			break
		}
		k.at = m.mount.Parts[i]
		if draw := kinds[robot.Kind(m.parts[i].Kind)].state; draw != nil {
			draw(&k, state)
		}
		loose = slices.DeleteFunc(loose, func(id int) bool { return id == state.Body }) // drawn where it is held
		if isConveyor(m.parts[i]) {
			on := min(int(max(state.Value, 0)), len(loose))
			if !slices.ContainsFunc(m.parts[i+1:], isConveyor) { // with what is still in the intake
				on = len(loose)
			}
			k.load(loose[:on], k.at.At, k.at.Length)
			loose = loose[on:]
		}
	}
	low, high := m.low, m.high
	length := high.X - low.X
	k.load(loose, geom.Pose{X: low.X + 0.2*length, Y: (low.Y + high.Y) / 2}, 0.6*length)
}

func isConveyor(p record.Part) bool { return robot.Kind(p.Kind) == robot.KindConveyor }

// line draws a polyline in the mechanism's own frame.
func (k *bench) line(pen Pen, points ...geom.Vec) {
	k.layer.add(Item{Kind: Line, Points: k.b.placed(k.pose.Compose(k.at.At), points...), Pen: pen})
}

// load draws pieces that the robot holds as a row of small ones, from a pose of its frame on: where each of them is, a
// record does not say.
func (k *bench) load(held []int, from geom.Pose, length float64) {
	radius := math.Min(0.09*(k.robot.high.X-k.robot.low.X), 0.45*length/float64(max(len(held), 1)))
	frame := k.pose.Compose(from)
	for i, id := range held {
		piece := &k.b.bodies[id]
		at := frame.ToWorld(geom.Vec{X: length * (float64(i) + 0.5) / float64(len(held))})
		k.layer.add(Item{Kind: Disc, At: at, Radius: Size{Metres: radius}, Fill: piece.fill,
			Pen: Pen{Width: 1.5, Colour: piece.line}})
	}
}
