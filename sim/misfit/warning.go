// Package misfit finds what of a robot cannot work on a field, whatever its routine does: a mouth that no piece gets
// into, motors too weak for their drive, a belt whose end the hull blocks, a part that nothing uses. A robot file with
// such a fault is still a robot, so these are warnings and no errors.
package misfit

import (
	"fmt"

	"chalkfield/fields"
	"chalkfield/sim/robot"
)

// Warning is one thing that cannot work.
type Warning struct {
	Part    string // the part's name; or drive, air
	What    string // what does not work, and why
	Instead string // what to write instead
}

// String is the warning for people, on two lines.
func (w Warning) String() string { return fmt.Sprintf("bot.%s: %s\n%s", w.Part, w.What, w.Instead) }

// Find lists what cannot work: drive and air, then the parts in order. It says nothing of a field's goals or pieces
// where the field has none.
func Find(robot *robot.Robot, field *fields.Field) []Warning {
	f := finder{robot: robot, field: field, hull: hull(robot.Chassis.Shape())}
	f.drive()
	f.air()
	for i, part := range robot.Parts {
		f.part = part.Name
		if check := checks[part.Kind]; check != nil {
			check(&f, i, part)
		}
	}
	return f.found
}

// checks look at a part, the index'th, by its kind.
var checks = map[robot.Kind]func(f *finder, index int, p robot.Part){
	robot.KindIntake:   func(f *finder, _ int, p robot.Part) { f.intake(p.Intake) },
	robot.KindConveyor: func(f *finder, i int, p robot.Part) { f.fed(i); f.ends(i, p.Conveyor) },
	robot.KindClamp:    func(f *finder, _ int, p robot.Part) { f.clamp(p.Clamp) },
	robot.KindScorer:   func(f *finder, _ int, p robot.Part) { f.scorer(p.Scorer) },
	robot.KindClaw:     func(f *finder, _ int, p robot.Part) { f.claw(p.Claw) },
	robot.KindLift:     func(f *finder, i int, p robot.Part) { f.carries(i); f.reaches(p.Lift) },
	robot.KindGate:     func(f *finder, _ int, p robot.Part) { f.gate(p.Gate) },
}

// finder is a search under way.
type finder struct {
	robot *robot.Robot
	field *fields.Field
	hull  hull
	part  string // name of the part that is looked at, or drive, air
	found []Warning
}

func (f *finder) warn(instead, format string, args ...any) {
	f.found = append(f.found, Warning{Part: f.part, What: fmt.Sprintf(format, args...), Instead: instead})
}
