package robot

import "chalkfield/internal/base/units"

// Rotation is the kind of a sensor of: angle of a lift, rad (m for an elevator).
const Rotation SensorKind = "rotation"

// RotationSensor reads a lift's position.
type RotationSensor struct {
	Timing
	LiftQuality
	On int `toml:"on" refer:"part"`
}

func (s *RotationSensor) Reading() (Timing, Quality) { return s.Timing, Quality(s.LiftQuality) }
func (s *RotationSensor) Part() int                  { return s.On }
func (s *RotationSensor) Note(r *Robot, _ units.System) string {
	return ", on bot." + r.Parts[s.On].Name
}

func (s *RotationSensor) read(r *reader, p string) {
	s.On = r.part(p+".on", KindLift, true)
	scale := armScale
	if s.On >= 0 {
		scale = r.out.Parts[s.On].Lift.scale()
	}
	r.travels(scale, p, "resolution", "noise")
}
