package robot

import (
	"chalkfield/internal/base/geom"
)

// Bumper is the kind of a sensor of: 1 when pressed.
const Bumper SensorKind = "bumper"

// BumperSensor feels what touches it.
type BumperSensor struct {
	Timing
	At geom.Pose `toml:"at,direction" unit:"m" need:"['210 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
}

func (s *BumperSensor) Mount() (geom.Pose, bool) { return s.At, true }
