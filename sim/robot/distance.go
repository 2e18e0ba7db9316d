package robot

import (
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// Distance is the kind of a sensor of: m along the ray from its place.
const Distance SensorKind = "distance"

// DistanceSensor sees how far it is to what stands along its heading.
type DistanceSensor struct {
	Timing
	LengthQuality
	At   geom.Pose `toml:"at,direction" unit:"m" need:"['210 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
	Low  float64   `toml:"low" unit:"m" default:"20 mm" min:"0 mm" max:"10 m"` // its range
	High float64   `toml:"high" unit:"m" default:"2 m" min:"10 mm" max:"20 m"`
}

func (s *DistanceSensor) Reading() (Timing, Quality) { return s.Timing, Quality(s.LengthQuality) }
func (s *DistanceSensor) Mount() (geom.Pose, bool)   { return s.At, true }

func (s *DistanceSensor) Note(_ *Robot, in units.System) string {
	return in.Sprintf(", from %.0f mm to %.0f mm", s.Low, s.High)
}

func (s *DistanceSensor) read(r *reader, p string) {
	if s.Low >= s.High {
		r.at.Errorf(p+".high", "the range ends before it begins: write more than low, %q", units.Text(s.Low, "m"))
	}
}
