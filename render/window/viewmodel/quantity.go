package viewmodel

import (
	"strings"

	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// Quantity is how a number of the record is told: its unit, and what brings the record's number to it.
type Quantity struct {
	Name  string // of what is measured; "" where the thing's own name says it
	Unit  string // "" for a count, and where the robot file that would tell it is not at hand
	Scale float64
	Truth bool // 1 or 0 means yes or no
}

// Words is a number of the record as a page says it: "1330 mm", "27.3 deg", "yes".
func (q Quantity) Words(v float64) string {
	if q.Truth {
		return yesOrNo(v)
	}
	return strings.TrimSpace(q.number(v) + " " + q.Unit)
}

func (q Quantity) number(v float64) string {
	switch q.Unit {
	case "mm", "mm/s":
		return Fixed(q.Scale*v, 0)
	case "deg":
		return Fixed(q.Scale*v, 1)
	}
	return tidy(q.Scale*v, 4)
}

func yesOrNo(v float64) string {
	if v > 0.5 {
		return "yes"
	}
	return "no"
}

var (
	lengths = Quantity{Unit: "mm", Scale: 1000}
	angles  = Quantity{Unit: "deg", Scale: degrees(1)}
	truths  = Quantity{Unit: "1 yes, 0 no", Scale: 1, Truth: true}
	untold  = Quantity{Unit: "m, rad or 1 yes", Scale: 1}
)

// Spec is the file of a run's robot, nil where it is not at hand: a record names the file but does not hold it.
func (r *Run) Spec(robot int) *robot.Robot {
	if robot >= len(r.Record.Header.Robots) {
		return nil
	}
	for _, e := range r.Setup.Entrants {
		if e.Robot != nil && e.Robot.SHA256 == r.Record.Header.Robots[robot].File.SHA256 {
			return e.Robot
		}
	}
	return nil
}

// SensorQuantity is how a robot's sensor is told.
func (r *Run) SensorQuantity(index, sensor int) Quantity {
	spec := r.Spec(index)
	if spec == nil || sensor >= len(spec.Sensors) {
		return untold
	}
	switch s := spec.Sensors[sensor]; s.Kind {
	case robot.Encoder, robot.Tracking, robot.Distance:
		return lengths
	case robot.Inertial:
		return angles
	case robot.Rotation:
		return liftQuantity(spec, s.Rotation.On)
	}
	return truths // optical, bumper
}

// PartQuantity is how the value of a robot's mechanism is told.
func (r *Run) PartQuantity(robot, part int) Quantity {
	switch kind := r.Record.Header.Robots[robot].Parts[part].Kind; kind {
	case "intake":
		return Quantity{Name: "roller speed", Unit: "mm/s", Scale: 1000}
	case "lift":
		return liftQuantity(r.Spec(robot), part)
	case "clamp":
		return Quantity{Name: "shut", Unit: "1 yes, 0 no", Scale: 1, Truth: true}
	case "scorer":
		return Quantity{Name: "pieces scored", Scale: 1}
	}
	return Quantity{Name: "pieces held", Scale: 1} // conveyor, claw
}

// liftQuantity is a height for an elevator, an angle for an arm.
func liftQuantity(spec *robot.Robot, part int) Quantity {
	q := Quantity{Name: "position", Unit: "rad or m", Scale: 1}
	switch {
	case spec == nil || part < 0 || part >= len(spec.Parts) || spec.Parts[part].Lift == nil:
	case spec.Parts[part].Lift.Elevator:
		q = lengths
		q.Name = "height"
	default:
		q = angles
		q.Name = "angle"
	}
	return q
}

// powered reports whether a mechanism has a motor, and so volts.
func powered(part record.Part) bool {
	return robot.Kind(part.Kind).HasMotor()
}
