package scene

import (
	"math"
	"strconv"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// machine is how a robot is drawn, and where it starts.
type machine struct {
	number  string // from 1
	name    string
	side    side
	outline geom.Polygon // own frame, m
	low     geom.Vec
	high    geom.Vec
	reach   float64 // m: origin to the farthest corner
	fill    Colour
	parts   []record.Part
	mount   Mount
	start   geom.Pose
	held    []int // bodies that it holds in the scene being built
}

// plainRobot stands in for an outline that the record does not give: 0.3 m square.
var plainRobot = geom.Rect(geom.Vec{X: -0.15, Y: -0.15}, geom.Vec{X: 0.15, Y: 0.15})

// longestName is how many letters of a name a label shows.
const longestName = 28

func newMachines(b *Builder) []machine {
	robots := b.index.Record.Header.Robots
	out := make([]machine, len(robots))
	for i, r := range robots {
		m := machine{number: strconv.Itoa(i + 1), side: b.side(r.Side), parts: r.Parts, start: r.Start.Geom()}
		for _, v := range r.Outline {
			m.outline = append(m.outline, geom.Vec{X: v[0], Y: v[1]})
		}
		if len(m.outline) < 3 || !(reach(m.outline) < farthest) {
			m.outline = plainRobot
		}
		m.low, m.high = m.outline.Bounds()
		m.reach = reach(m.outline)
		m.fill = Mix(m.side.colour, Plate, 0.72)
		m.mount = guessMount(r, m.outline)
		if i < len(b.in.Mounts) {
			m.mount = b.in.Mounts[i]
		}
		m.name = Shorten(firstOf(b.index.Record.Header.RobotName(i), "robot "+strconv.Itoa(i+1)), longestName)
		out[i] = m
	}
	return out
}

// Shorten keeps the first letters of a text, and says by an ellipsis that there are more.
func Shorten(text string, letters int) string {
	runes := []rune(text)
	if len(runes) <= letters {
		return text
	}
	return string(runes[:letters-1]) + "…"
}

// leading puts a text behind a lead, or nothing when there is no text.
func leading(lead, text string) string {
	if text == "" {
		return ""
	}
	return lead + text
}

// drawRobots draws each robot solid at its true pose, where it started as an outline, and its belief dashed.
func (b *Builder) drawRobots() {
	b.scene.Robots = b.scene.Robots[:0]
	for i := range b.robots {
		robot := &b.robots[i]
		state, known := b.index.Robot(i, b.sample)
		pose := robot.start
		if known {
			pose = state.True.Geom()
			if b.in.Whole {
				b.drawOutline(Robots, robot, robot.start, Dotted)
			}
		}
		if !plausible(pose.At()) {
			continue
		}
		b.scene.Robots = append(b.scene.Robots, Around{pose.At(), robot.reach * 0.8})
		b.drawRobot(robot, pose)
		if known {
			b.drawParts(robot, pose, state.Parts)
			if i+1 == b.in.Parts {
				b.drawEnds(robot, pose)
			}
			b.drawRays(robot, pose, state.Sensors)
			b.drawSights(i, pose, state.Sensors)
			b.drawBelief(robot, pose, state.Belief.Geom())
		}
	}
}

func (b *Builder) drawRobot(robot *machine, pose geom.Pose) {
	layer := b.layer(Robots)
	layer.add(Item{Kind: Area, Points: b.placed(pose, robot.outline...), Fill: robot.fill,
		Pen: Pen{Width: 2.5, Colour: robot.side.colour}, Avoid: true})
	size := 0.16 * math.Min(robot.high.X-robot.low.X, robot.high.Y-robot.low.Y)
	nose := pose.ToWorld(geom.Vec{X: robot.high.X - 1.3*size, Y: (robot.low.Y + robot.high.Y) / 2})
	layer.add(Item{Kind: Mark, Shape: Dart, At: nose, Heading: pose.Heading, Radius: Size{Metres: size}, Fill: Chalk})
	middle := pose.ToWorld(geom.Vec{X: (robot.low.X + robot.high.X) / 2, Y: (robot.low.Y + robot.high.Y) / 2})
	layer.add(Item{Kind: Mark, Shape: robot.side.mark, At: middle, Radius: Size{Metres: size * 0.8},
		Fill: robot.side.colour})
	layer.label(Label{Words: robot.name, At: pose.At(), Clear: Size{Metres: robot.reach * 0.9}, Size: 13, Bold: true,
		Colour: robot.side.text,
		Mark:   robot.side.mark, Tint: robot.side.text, Rank: RankRobot})
}

func (b *Builder) drawOutline(o Overlay, robot *machine, pose geom.Pose, dash Dash) {
	layer := b.layer(o)
	pen := Pen{Width: 1.6, Colour: robot.side.colour, Dash: dash}
	layer.add(Item{Kind: Area, Points: b.placed(pose, robot.outline...), Pen: pen})
	nose := geom.Vec{X: robot.high.X}
	back := 0.25 * (robot.high.X - robot.low.X)
	layer.add(Item{Kind: Line, Points: b.placed(pose, geom.Vec{X: nose.X - back, Y: back}, nose,
		geom.Vec{X: nose.X - back, Y: -back}), Pen: pen})
}
