package report

import (
	"fmt"
	"math"

	"chalkfield/internal/base/units"
	"chalkfield/sim"
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
	return place + s.Spec().Note(r, in) + lateNote(s)
}

// lateNote says of a latency that is no whole control ticks what it counts as.
func lateNote(s robot.Sensor) string {
	timing, _ := s.Spec().Reading()
	ticks := math.Ceil(timing.Latency/sim.ControlTick - 1e-6)
	if late := ticks * sim.ControlTick; late-timing.Latency > 1e-6 {
		return fmt.Sprintf("; its latency of %.3g ms counts as %.0f ms: readings come at control ticks",
			timing.Latency*1000, late*1000)
	}
	return ""
}
