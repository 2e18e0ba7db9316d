package account

import (
	"fmt"

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
func regulated(a *robot.Air) string {
	if a.Regulator == 0 {
		return "unregulated"
	}
	return fmt.Sprintf("regulated to %.0f kPa", a.Regulator/1000)
}

// sensorNote says where a sensor is.
func sensorNote(r *robot.Robot, s robot.Sensor) string {
	switch s.Kind {
	case robot.Encoder:
		if s.Encoder.Train == robot.Left {
			return ", of the left train"
		}
		return ", of the right train"
	case robot.Optical:
		return fmt.Sprintf(", on bot.%s, %.0f mm along", r.Parts[s.Optical.On].Name, s.Optical.Along*1000)
	case robot.Rotation:
		return ", on bot." + r.Parts[s.Rotation.On].Name
	case robot.Inertial:
		return ""
	case robot.Distance:
		return fmt.Sprintf(" at %s, from %.0f mm to %.0f mm", Place(s.Distance.At), s.Distance.Low*1000, s.Distance.High*1000)
	}
	return " at " + Place(s.Mount())
}
