package viewmodel

import (
	"strings"

	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/render/scene"
	"chalkfield/sim/robot"
)

// Quantity is how a number of the record is told.
type Quantity scene.Value

// Words is a number of the record as a page says it: "1330 mm", "27.3 deg", "yes".
func (q Quantity) Words(in units.System, v float64) string {
	if q.Truth {
		return map[bool]string{true: "yes", false: "no"}[v > 0.5]
	}
	return strings.TrimSpace(q.number(in, v) + " " + in.Name(q.Unit))
}

func (q Quantity) number(in units.System, v float64) string {
	switch q.Unit {
	case "mm", "mm/s":
		return in.Figure(v, q.Unit, 0)
	case "deg":
		return Fixed(q.Scale*v, 1)
	}
	return tidy(q.Scale*v, 4)
}

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
	return Quantity(scene.SensorValue(r.Spec(index), sensor))
}

// SensorRow is a number that the record has of a robot's sensors as a page says it, with its name: a mark's range and
// bearing together, at its range. "": it is told elsewhere.
func (r *Run) SensorRow(in units.System, index, sensor int, readings []float64) (name, words string) {
	name = r.Record.Header.Robots[index].Sensors[sensor]
	v, beside := scene.Told(name)
	mark, isRange := strings.CutSuffix(name, robot.OfRange)
	switch {
	case !beside:
		return name, r.SensorQuantity(index, sensor).Words(in, readings[sensor])
	case v.Says != nil:
		return name, v.Says(r.Record, readings[sensor])
	case !isRange || sensor+1 >= len(readings):
		return "", ""
	case !(readings[sensor] > 0):
		return mark, "not seen"
	}
	toward, _ := scene.Told(robot.OfBearing)
	return mark, Quantity(v).Words(in, readings[sensor]) + ", " + Quantity(toward).Words(in, readings[sensor+1])
}

// PartQuantity is how the value of a robot's mechanism is told.
func (r *Run) PartQuantity(index, part int) Quantity {
	var p *robot.Part
	if spec := r.Spec(index); spec != nil && part < len(spec.Parts) {
		p = &spec.Parts[part]
	}
	return Quantity(scene.PartValue(robot.Kind(r.Record.Header.Robots[index].Parts[part].Kind), p))
}

// powered reports whether a mechanism has a motor, and so volts.
func powered(part record.Part) bool {
	return robot.Kind(part.Kind).HasMotor()
}
