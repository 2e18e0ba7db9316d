package robot

import (
	"chalkfield/internal/base/geom"
)

// Tracking is the kind of a sensor of: travel along its heading, m.
const Tracking SensorKind = "tracking wheel"

// TrackingSensor is an undriven wheel that rolls along its heading.
type TrackingSensor struct {
	Timing
	LengthQuality
	At     geom.Pose `toml:"at,direction" unit:"m" need:"['-60 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
	Radius float64   `toml:"radius" unit:"m" default:"25 mm" min:"5 mm" max:"200 mm"`
}

func (s *TrackingSensor) Reading() (Timing, Quality) { return s.Timing, Quality(s.LengthQuality) }
func (s *TrackingSensor) Mount() (geom.Pose, bool)   { return s.At, true }
