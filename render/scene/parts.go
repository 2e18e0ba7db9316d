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

// rollerMoves is the roller surface speed from which an intake counts as running, m/s.
const rollerMoves = 0.02

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
		switch robot.Kind(m.parts[i].Kind) {
		case robot.KindIntake:
			k.intake(state)
		case robot.KindConveyor:
			k.conveyor()
		case robot.KindClamp:
			k.clamp(state)
		case robot.KindClaw:
			k.claw(state)
		case robot.KindLift:
			k.lift(state)
		}
	}
	k.load(held)
}

// line draws a polyline in the mechanism's own frame.
func (k *bench) line(pen Pen, points ...geom.Vec) {
	k.layer.add(Item{Kind: Line, Points: k.b.placed(k.pose.Compose(k.at.At), points...), Pen: pen})
}

// intake is a roller; it runs in or out as its darts point.
func (k *bench) intake(state record.PartSample) {
	half := k.at.Width / 2
	running := math.Abs(state.Value) > rollerMoves
	pen := k.rest
	if running {
		pen = k.busy
		pen.Width = 3
	}
	k.line(pen, geom.Vec{Y: -half}, geom.Vec{Y: half})
	if !running {
		return
	}
	frame := k.pose.Compose(k.at.At)
	inwards := frame.Heading + math.Pi
	if state.Value < 0 {
		inwards = frame.Heading
	}
	for _, y := range []float64{-0.6, 0.6} {
		k.layer.add(Item{Kind: Mark, Shape: Dart, At: frame.ToWorld(geom.Vec{X: 0.14 * k.at.Width, Y: y * half}), Heading: inwards,
			Radius: Size{Metres: 0.09 * k.at.Width, Pixels: 1}, Fill: Chalk})
	}
}

// conveyor is a pair of rails.
func (k *bench) conveyor() {
	y := 0.28 * (k.robot.high.Y - k.robot.low.Y)
	k.line(k.rest, geom.Vec{Y: y}, geom.Vec{X: k.at.Length, Y: y})
	k.line(k.rest, geom.Vec{Y: -y}, geom.Vec{X: k.at.Length, Y: -y})
}

// clamp is two jaws, apart when open, closing when shut.
func (k *bench) clamp(state record.PartSample) {
	root, tip, pen := 0.30*k.at.Width, 0.62*k.at.Width, k.rest
	if state.Value >= 0.5 {
		tip, pen = 0.18*k.at.Width, k.busy
		pen.Width = 3
	}
	long := 0.28 * k.at.Width
	k.line(pen, geom.Vec{X: long, Y: tip}, geom.Vec{Y: root}, geom.Vec{Y: -root}, geom.Vec{X: long, Y: -tip})
}

// claw is two fingers, drawn beyond the outline when it is out.
func (k *bench) claw(state record.PartSample) {
	wide := 0.12 * (k.robot.high.X - k.robot.low.X)
	if !state.Out && state.Body < 0 {
		k.line(k.rest, geom.Vec{X: -wide, Y: -wide}, geom.Vec{Y: -wide}, geom.Vec{Y: wide}, geom.Vec{X: -wide, Y: wide})
		return
	}
	out := math.Max(k.at.Length, wide)
	k.line(k.busy, geom.Vec{}, geom.Vec{X: out * 0.5})
	k.line(k.busy, geom.Vec{X: out + wide, Y: wide}, geom.Vec{X: out * 0.5, Y: wide}, geom.Vec{X: out * 0.5, Y: -wide}, geom.Vec{X: out + wide, Y: -wide})
	if id := state.Body; id >= 0 && id < len(k.b.bodies) && !k.b.bodies[id].goal {
		piece := &k.b.bodies[id]
		at := k.pose.Compose(k.at.At).ToWorld(geom.Vec{X: out + wide})
		k.layer.add(Item{Kind: Disc, At: at, Radius: Size{Metres: piece.radius * 0.6}, Fill: piece.fill, Pen: Pen{Width: 1.5, Colour: piece.line}})
	}
}

// lift is a dial in the robot's rear corner: its hand is the arm's angle, 0 level to the front; an elevator's is a gauge.
func (k *bench) lift(state record.PartSample) {
	low, high := k.robot.low, k.robot.high
	radius := 0.13 * math.Min(high.X-low.X, high.Y-low.Y)
	k.at.At = geom.Pose{X: low.X + 1.5*radius, Y: low.Y + 1.5*radius}
	frame := k.pose.Compose(k.at.At)
	if k.at.Elevator {
		share := 0.0
		if k.at.High > k.at.Low {
			share = geom.Clamp((state.Value-k.at.Low)/(k.at.High-k.at.Low), 0, 1)
		}
		k.line(k.rest, geom.Vec{X: -radius}, geom.Vec{X: radius})
		k.line(Pen{Width: 4, Colour: Chalk}, geom.Vec{X: -radius}, geom.Vec{X: radius * (2*share - 1)})
		return
	}
	k.layer.add(Item{Kind: Disc, At: frame.At(), Radius: Size{Metres: radius}, Fill: Plate, Pen: k.rest})
	hand := geom.Unit(state.Value)
	k.line(k.busy, geom.Vec{}, geom.Vec{X: hand.X * radius, Y: hand.Y * radius})
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
		k.layer.add(Item{Kind: Disc, At: at, Radius: Size{Metres: radius}, Fill: piece.fill, Pen: Pen{Width: 1.5, Colour: piece.line}})
	}
}
