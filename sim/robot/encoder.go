package robot

import "chalkfield/internal/base/units"

// Encoder is the kind of a sensor of: wheel travel of a train, m.
const Encoder SensorKind = "encoder"

// EncoderSensor counts the turns of a train's wheels.
type EncoderSensor struct {
	Timing
	LengthQuality
	Train Train `toml:"train" need:"'left'" words:"driven train: left, right"`
}

func (s *EncoderSensor) Reading() (Timing, Quality) { return s.Timing, Quality(s.LengthQuality) }

func (s *EncoderSensor) Note(*Robot, units.System) string {
	if s.Train == Left {
		return ", of the left train"
	}
	return ", of the right train"
}
