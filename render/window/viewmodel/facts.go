package viewmodel

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/render/signals"
)

// Facts says what a thing is at a time, and gives the Lua text that names its place, "" if it has none.
func (d *Model) Facts(thing Thing, t float64, at geom.Vec) (facts []Fact, lua string) {
	if d.Now == nil {
		return nil, ""
	}
	switch thing.Kind {
	case RobotThing:
		return d.robotFacts(thing, t)
	case PieceThing, GoalThing:
		return d.bodyFacts(thing, t)
	case EventThing:
		return d.eventFacts(thing)
	case NoThing:
		return nil, ""
	}
	return append(d.markingFacts(thing), Fact{"here", PointWords(d.Units, at)}), LuaPoint(at)
}

func (d *Model) robotFacts(thing Thing, t float64) ([]Fact, string) {
	state, ok := d.Now.Index.Robot(thing.Index, max(d.Now.Index.At(t), 0))
	if !ok {
		return nil, ""
	}
	robot := d.Now.Record.Header.Robots[thing.Index]
	lua := LuaPose(state.True.Geom())
	in := d.Units
	off := math.Hypot(state.Belief[0]-state.True[0], state.Belief[1]-state.True[1])
	facts := []Fact{
		{"true", PoseWords(in, state.True.Geom())},
		{"off by", in.Sprintf("%.0f mm, %s deg", off, Fixed(WholeTurn(geom.Degrees(state.Belief[2]-state.True[2])), 1))},
		{"speed", fmt.Sprintf("%s, %s deg/s", in.Text(signals.Along(state), "mm/s", 0),
			Fixed(geom.Degrees(state.Velocity[2]), 0))},
		{"doing", string(state.Doing)},
	}
	if ends := d.Now.EndsOf(thing.Index); ends != "" {
		facts = append(facts, Fact{"parts", ends})
	}
	facts = append(facts, []Fact{
		{"belief", PoseWords(in, state.Belief.Geom())},
		{"battery", fmt.Sprintf("%.1f V", state.Battery)},
		{"routine", robot.Routine.Called()},
	}...)
	return facts, lua
}

func (d *Model) bodyFacts(thing Thing, t float64) ([]Fact, string) {
	state, ok := d.Now.Index.Body(thing.Index, max(d.Now.Index.At(t), 0))
	if !ok {
		return nil, ""
	}
	body := d.Now.Record.Header.Bodies[thing.Index]
	pose := state.Pose.Geom()
	lua, words := LuaPoint(pose.At()), PointWords(d.Units, pose.At())
	if body.Goal {
		lua, words = LuaPose(pose), PoseWords(d.Units, pose)
	}
	facts := []Fact{{"kind", body.Kind}, {"at", words}}
	switch {
	case state.In.Robot() >= 0:
		facts = append(facts, Fact{"held by", d.NameOf(Thing{RobotThing, state.In.Robot()})})
	case state.In.Goal() >= 0:
		facts = append(facts, Fact{"in", d.NameOf(Thing{GoalThing, state.In.Goal()})})
	case state.In.Person() >= 0 && state.In.Person() < len(d.Now.Setup.Field.Loads):
		facts = append(facts, Fact{"waits with", d.Now.Setup.Field.Loads[state.In.Person()].Name})
	case body.Goal:
		facts = append(facts, Fact{"holds", fmt.Sprintf("%d", d.Now.countIn(thing.Index, t))})
	}
	if words := d.Now.brings(body); words != "" {
		facts = append(facts, Fact{"scores", words})
	}
	if state, ok := d.Now.Index.Robot(d.Robot, max(d.Now.Index.At(t), 0)); ok {
		facts = append(facts, fromRobot(d.Units, state.True.Geom(), pose.At()))
	}
	return facts, lua
}

// fromRobot says how far a place is from the robot and how much it would have to turn to face it.
func fromRobot(in units.System, robot geom.Pose, at geom.Vec) Fact {
	dx, dy := at.X-robot.X, at.Y-robot.Y
	turn := WholeTurn(geom.Degrees(math.Atan2(dy, dx) - robot.Heading))
	words := Fixed(turn, 1)
	if !strings.HasPrefix(words, "-") {
		words = "+" + words
	}
	return Fact{"from robot", in.Sprintf("%.0f mm, turn %s deg", math.Hypot(dx, dy), words)}
}

// countIn is how many pieces a goal holds at a time.
func (r *Run) countIn(goal int, t float64) int {
	count, sample := 0, max(r.Index.At(t), 0)
	for id := range r.Record.Header.Bodies {
		if state, ok := r.Index.Body(id, sample); ok && state.In == record.InGoal(goal) {
			count++
		}
	}
	return count
}

func (d *Model) markingFacts(thing Thing) []Fact {
	f := d.Now.Setup.Field
	if f == nil || thing.Kind != ZoneThing || thing.Index >= len(f.Zones) {
		return nil
	}
	zone := f.Zones[thing.Index]
	facts := []Fact{{"kind", zone.Kind}}
	if zone.Side >= 0 && zone.Side < len(f.Sides) {
		facts = append(facts, Fact{"side", f.Sides[zone.Side].Name})
	}
	return facts
}

func (d *Model) eventFacts(thing Thing) ([]Fact, string) {
	if thing.Index >= len(d.Now.Record.Events) {
		return nil, ""
	}
	e := d.Now.Record.Events[thing.Index]
	facts := []Fact{{"time", fmt.Sprintf("%.2f s", e.T)}, {"what", d.Now.Record.Header.Told(e, d.Units)}}
	if e.Line > 0 {
		facts = append(facts, Fact{"line", fmt.Sprintf("%s:%d", e.File, e.Line)})
	}
	if e.At == nil {
		return facts, ""
	}
	at := geom.Vec{X: e.At[0], Y: e.At[1]}
	return append(facts, Fact{"at", PointWords(d.Units, at)}), LuaPoint(at)
}
