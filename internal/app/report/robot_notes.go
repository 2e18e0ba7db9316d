package report

import (
	"fmt"

	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// charge says how long the battery lasts.
func charge(b robot.Battery) string {
	const hour = 3600 // C per A h
	if b.Capacity == 0 {
		return "never runs down"
	}
	return fmt.Sprintf("%.3g A h, %.2f V when they are used", b.Capacity/hour, b.Empty)
}

// regulated says what the pistons get of the air.
func regulated(in units.System, a *robot.Air) string {
	if a.Regulator == 0 {
		return "unregulated"
	}
	return in.Sprintf("regulated to %.0f kPa", a.Regulator)
}

// sensorNote says where a sensor is and what it measures.
func sensorNote(in units.System, r *robot.Robot, s robot.Sensor) string {
	place := ""
	if at, is := s.Spec().Mount(); is {
		place = " at " + Place(in, at)
	}
	return place + s.Spec().Note(r, in)
}
