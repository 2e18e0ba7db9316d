package scene

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// slipShown is the slip speed of a wheel from which the slip layer marks the place, m/s.
const slipShown = 0.15

// planPen draws planned curves; its pattern is no belief's.
var planPen = Pen{Width: 1.5, Colour: Chalk, Dash: Chained}

// otherWay draws the way of a robot that is not the one spoken of.
func otherWay(s side) Pen { return Pen{Width: 2, Colour: s.colour, Dash: Paired} }

// focus is the robot whose way is drawn, or -1.
func (b *Builder) focus() int {
	focus := max(b.in.Focus, 0)
	if focus >= len(b.robots) {
		return -1
	}
	return focus
}

// drawWay draws the trails, the ticks, the planned curve and the slip.
func (b *Builder) drawWay() {
	focus := b.focus()
	for i := range b.robots {
		if at, steps := b.paths[i].stretch(b.in.From, b.in.T); len(at) >= 2 {
			b.layer(Trail).add(b.trail(i, at, steps))
		}
	}
	if focus < 0 {
		return
	}
	b.drawPlans(focus)
	b.drawTicks(b.paths[focus].ticks)
	b.drawSlip(focus)
}

// trail is a part of a robot's way, at each point with the step of its speed: of the robot spoken of in shades.
func (b *Builder) trail(robot int, at []geom.Vec, steps []uint8) Item {
	if robot == b.focus() {
		return Item{Kind: Line, Points: at, Shades: b.shaded(steps), Pen: Pen{Width: 3, Colour: b.tint.Accent}, Avoid: true}
	}
	return Item{Kind: Line, Points: at, Pen: otherWay(b.robots[robot].side), Avoid: true}
}

// shaded are the colours of steps of speed, in the builder's own buffer.
func (b *Builder) shaded(steps []uint8) []Colour {
	b.shades = b.shades[:0]
	for _, step := range steps {
		b.shades = append(b.shades, b.tint.Shades[step])
	}
	return b.shades
}

// drawPlans draws the planned curve being followed; for the whole run, every one that was.
func (b *Builder) drawPlans(robot int) {
	if !b.in.Whole {
		b.drawPlan(b.index.Plan(robot, b.sample))
		return
	}
	for _, i := range b.index.Plans(robot) {
		if sample := &b.index.Record.Samples[i]; sample.T >= b.in.From {
			b.drawPlan(sample.Robots[robot].New().Plan)
		}
	}
}

func (b *Builder) drawPlan(plan [][2]float64) {
	from := len(b.points)
	for _, p := range plan {
		if v := (geom.Vec{X: p[0], Y: p[1]}); plausible(v) {
			b.points = append(b.points, v)
		}
	}
	if points := b.points[from:len(b.points):len(b.points)]; len(points) >= 2 {
		b.layer(Plan).add(Item{Kind: Line, Points: points, Pen: planPen})
	}
}

// drawTicks draws a short stroke across the way at each whole second, and names every few of them.
func (b *Builder) drawTicks(ticks []tick) {
	layer := b.layer(Ticks)
	every := tickStep(b.in.T - b.in.From)
	for _, k := range ticks {
		if k.from < b.in.From || k.from > b.in.T {
			continue
		}
		stand := k.to > k.from
		layer.add(Item{Kind: Mark, Shape: Bar, At: k.at, Heading: k.heading, Radius: Size{Pixels: 6.5}, Fill: Chalk,
			Pen: Pen{Width: 1, Colour: Plate}})
		if k.to <= b.in.T && (stand || math.Mod(k.from, every) == 0) {
			rank := RankMinorTick
			if stand || math.Mod(k.from, 5*every) == 0 {
				rank = RankTick
			}
			layer.label(Label{Words: k.words, At: k.at, Clear: Size{Pixels: 6}, Near: rank == RankMinorTick, Size: 12,
				Colour: Chalk, Rank: rank})
		}
	}
}

// tickStep is how many seconds apart ticks are named, so that at most some two dozen are.
func tickStep(seconds float64) float64 {
	for _, step := range []float64{1, 2, 5, 10, 20, 30} {
		if seconds <= 24*step {
			return step
		}
	}
	return 60
}

// drawSlip marks, every few centimetres of way, where a wheel slipped.
func (b *Builder) drawSlip(robot int) {
	if !b.in.Show.Has(Slip) {
		return
	}
	layer := b.layer(Slip)
	last := geom.Vec{X: math.Inf(1)}
	for i := max(b.index.At(b.in.From), 0); i <= b.sample; i++ {
		state, known := b.index.Robot(robot, i)
		if !known || math.Max(math.Abs(state.Slip[0]), math.Abs(state.Slip[1])) < slipShown {
			continue
		}
		at := geom.Vec{X: state.True[0], Y: state.True[1]}
		if !plausible(at) || distance(at, last) < 0.04 {
			continue
		}
		last = at
		layer.add(slipMark(at, state))
	}
}

func slipMark(at geom.Vec, state *record.RobotSample) Item {
	return Item{Kind: Mark, Shape: Hourglass, At: at, Heading: travel(state), Radius: Size{Pixels: 5.5}, Fill: Plate,
		Pen: Pen{Width: 1.5, Colour: Chalk}}
}
