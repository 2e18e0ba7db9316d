package robot

// Inertial is the kind of a sensor of: heading, rad, counter-clockwise from the start.
const Inertial SensorKind = "inertial"

// InertialSensor integrates the turning rate.
type InertialSensor struct {
	Timing
	AngleQuality
	// angle random walk
	Walk float64 `toml:"walk" unit:"rad/sqrt(s)" min:"0 deg/sqrt(h)" max:"350 deg/sqrt(h)"`
	// rate random walk
	BiasWalk float64 `toml:"bias_walk" unit:"rad/s/sqrt(s)" min:"0 deg/s/sqrt(s)" max:"6 deg/s/sqrt(s)"`
	Bias     float64 `toml:"bias" unit:"rad/s" min:"-60 deg/s" max:"60 deg/s"`
}

func (s *InertialSensor) Reading() (Timing, Quality) { return s.Timing, Quality(s.AngleQuality) }
