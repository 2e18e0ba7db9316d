package scene

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// kind is how a kind of mechanism is shown. What is left out is not shown, or is as usual.
type kind struct {
	// puts it where machines have it, within an outline's bounds
	usual func(at *PartMount, low, high geom.Vec)
	// puts it where the robot file has it
	place func(at *PartMount, body geom.Polygon, p robot.Part)
	state func(k *bench, s record.PartSample) // draws it at work
	// draws its file; gives where its name stands and the room there, m
	file func(d *drawing, p robot.Part, at geom.Pose) (named geom.Vec, clear float64)
	// what its sample's value is; p is nil where no file tells
	value func(p *robot.Part) Value
	says  func(s record.PartSample, value, held string) string // its state in words
}

// kinds are the rows of all kinds.
var kinds = map[robot.Kind]kind{
	robot.KindIntake: intakeKind, robot.KindConveyor: conveyorKind, robot.KindClamp: clampKind,
	robot.KindScorer: scorerKind, robot.KindClaw: clawKind, robot.KindLift: liftKind,
	robot.KindGate: gateKind,
}

// part draws a mechanism by what its file says of it and names it.
func (d *drawing) part(part robot.Part, at geom.Pose) {
	d.explain(LegendRow{Words: "mechanism, bot.NAME in a routine", Line: partPen})
	named, clear := at.At(), 0.012
	if draw := kinds[part.Kind].file; draw != nil {
		named, clear = draw(d, part, at)
	}
	d.name("bot."+part.Name, named, clear, true, Accent, RankGoal)
}

// Value is how a number of the record is told: its unit, and what brings the record's number to it.
type Value struct {
	Name  string // of what is measured; "" where the thing's own name says it
	Unit  string // "" for a count, and where the robot file that would tell it is not at hand
	Scale float64
	Truth bool // 1 or 0 means yes or no
	// where a number says nothing: what it means
	Says func(rec *record.Record, number float64) string
}

var (
	lengths = Value{Unit: "mm", Scale: 1000}
	angles  = Value{Unit: "deg", Scale: degrees}
	truths  = Value{Unit: "1 yes, 0 no", Scale: 1, Truth: true}
)

const degrees = 180 / math.Pi

// PartValue is how the value of a mechanism of a kind is told; p is nil where its robot file is not at hand.
func PartValue(k robot.Kind, p *robot.Part) Value {
	if of := kinds[k].value; of != nil {
		return of(p)
	}
	return Value{Name: "pieces held", Scale: 1}
}

// PartSays is a mechanism's state in words, but for its volts: its value in words, and what it holds.
func PartSays(k robot.Kind, s record.PartSample, value, held string) string {
	if says := kinds[k].says; says != nil {
		return says(s, value, held)
	}
	return value + held
}
