package robot

import (
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// Line is the kind of a sensor of: the share of a spot of the floor that the field's lines cover.
const Line SensorKind = "line"

// LineSensor looks down onto a spot of the floor, by whose reflectance it tells tape from floor.
type LineSensor struct {
	Timing
	ShareQuality
	At   geom.Vec `toml:"at" unit:"m" need:"['150 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
	Spot float64  `toml:"spot" unit:"m" default:"10 mm" min:"0.5 mm" max:"300 mm"` // its diameter
}

func (s *LineSensor) Reading() (Timing, Quality) { return s.Timing, Quality(s.ShareQuality) }
func (s *LineSensor) Mount() (geom.Pose, bool)   { return geom.Pose{X: s.At.X, Y: s.At.Y}, true }

func (s *LineSensor) Note(_ *Robot, in units.System) string {
	return in.Sprintf(", a spot of %.0f mm", s.Spot)
}
