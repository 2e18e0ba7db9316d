package robot

import (
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// Mark is the kind of a sensor of: range and bearing of the field's marks; its reading is how many it sees.
const Mark SensorKind = "mark"

// MarkSensor sees where the field's marks are from its place, as from its direction.
type MarkSensor struct {
	Timing                // dropout: of each mark by itself, which is then not seen
	At      geom.Pose     `toml:"at,direction" unit:"m" need:"['150 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
	View    float64       `toml:"view" unit:"rad" default:"60 deg" min:"1 deg" max:"360 deg"` // whole angle
	Low     float64       `toml:"low" unit:"m" default:"100 mm" min:"1 mm" max:"10 m"`        // its range
	High    float64       `toml:"high" unit:"m" default:"4 m" min:"10 mm" max:"50 m"`
	Range   LengthQuality `toml:"range"`
	Bearing AngleQuality  `toml:"bearing"`
}

// Reading has the rate and latency of what it sees; a mark that is lost is lost before.
func (s *MarkSensor) Reading() (Timing, Quality) {
	return Timing{Rate: s.Rate, Latency: s.Latency}, Quality{}
}

func (s *MarkSensor) Mount() (geom.Pose, bool) { return s.At, true }

func (s *MarkSensor) Note(_ *Robot, in units.System) string {
	return in.Sprintf(", sees %.0f deg wide, from %.0f mm to %.0f mm", geom.Degrees(s.View), s.Low, s.High)
}

func (s *MarkSensor) read(r *reader, p string) {
	if s.Low >= s.High {
		r.at.Errorf(p+".high", "the range ends before it begins: write more than low, %q", units.Text(s.Low, "m"))
	}
}

// Sight is where a mark is seen: m, and rad to the left of the sensor's direction. A range of 0: it is not seen.
type Sight struct{ Range, Bearing float64 }
