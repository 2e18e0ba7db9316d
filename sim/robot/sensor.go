package robot

import "chalkfield/internal/base/geom"

// SensorKind of a sensor.
type SensorKind string

const (
	Encoder  SensorKind = "encoder"        // wheel travel of a train, m
	Tracking SensorKind = "tracking wheel" // travel along its heading, m
	Inertial SensorKind = "inertial"       // heading, rad, counter-clockwise from the start
	Distance SensorKind = "distance"       // m along the ray from its place
	Optical  SensorKind = "optical"        // 1 when a piece is before it
	Rotation SensorKind = "rotation"       // angle of a lift, rad (m for an elevator)
	Bumper   SensorKind = "bumper"         // 1 when pressed
)

// Sensor is one sensor: its name, and exactly one table, the one of its kind.
type Sensor struct {
	Name     string `toml:"name" need:"'left_encoder'"`
	Kind     SensorKind
	Encoder  *EncoderSensor  `toml:"encoder"`
	Tracking *TrackingSensor `toml:"tracking_wheel"`
	Inertial *InertialSensor `toml:"inertial"`
	Distance *DistanceSensor `toml:"distance"`
	Optical  *OpticalSensor  `toml:"optical"`
	Rotation *RotationSensor `toml:"rotation"`
	Bumper   *BumperSensor   `toml:"bumper"`
}

// Timing is what every sensor may have.
type Timing struct {
	Rate    float64 `toml:"rate" unit:"Hz" min:"0.5 Hz" max:"100 kHz" zero:"every control tick"`
	Latency float64 `toml:"latency" unit:"s" min:"0 s" max:"1 s"`
	Dropout float64 `toml:"dropout" min:"0" max:"0.99"` // probability that a reading is lost (the last one is kept)
}

// Quality is how well a sensor reads a quantity, in the reading's unit.
type Quality struct {
	Resolution float64 // 0: ideal
	Noise      float64 // standard deviation per reading
	Scale      float64 // relative error of the scale
}

// LengthQuality is that of a sensor that reads a length.
type LengthQuality struct {
	Resolution float64 `toml:"resolution" unit:"m" min:"0.0001 mm" max:"200 mm" zero:"an ideal sensor"`
	Noise      float64 `toml:"noise" unit:"m" min:"0 mm" max:"500 mm"`
	Scale      float64 `toml:"scale" min:"-0.5" max:"0.5"`
}

// AngleQuality is that of a sensor that reads an angle.
type AngleQuality struct {
	Resolution float64 `toml:"resolution" unit:"rad" min:"0.00001 deg" max:"30 deg" zero:"an ideal sensor"`
	Noise      float64 `toml:"noise" unit:"rad" min:"0 deg" max:"30 deg"`
	Scale      float64 `toml:"scale" min:"-0.5" max:"0.5"`
}

// LiftQuality is that of a sensor that reads a lift's position.
type LiftQuality struct {
	Resolution float64 `toml:"resolution" unit:"rad|m" min:"0.00001 deg|0.0001 mm" max:"90 deg|750 mm" zero:"an ideal sensor"`
	Noise      float64 `toml:"noise" unit:"rad|m" min:"0 deg|0 mm" max:"90 deg|750 mm"`
	Scale      float64 `toml:"scale" min:"-0.5" max:"0.5"`
}

// EncoderSensor counts the turns of a train's wheels.
type EncoderSensor struct {
	Timing
	LengthQuality
	Train Train `toml:"train" need:"'left'" words:"driven train: left, right"`
}

// TrackingSensor is an undriven wheel that rolls along its heading.
type TrackingSensor struct {
	Timing
	LengthQuality
	At     geom.Pose `toml:"at,direction" unit:"m" need:"['-60 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
	Radius float64   `toml:"radius" unit:"m" default:"25 mm" min:"5 mm" max:"200 mm"`
}

// InertialSensor integrates the turning rate.
type InertialSensor struct {
	Timing
	AngleQuality
	Walk     float64 `toml:"walk" unit:"rad/sqrt(s)" min:"0 deg/sqrt(h)" max:"350 deg/sqrt(h)"`          // angle random walk
	BiasWalk float64 `toml:"bias_walk" unit:"rad/s/sqrt(s)" min:"0 deg/s/sqrt(s)" max:"6 deg/s/sqrt(s)"` // rate random walk
	Bias     float64 `toml:"bias" unit:"rad/s" min:"-60 deg/s" max:"60 deg/s"`
}

// DistanceSensor sees how far it is to what stands along its heading.
type DistanceSensor struct {
	Timing
	LengthQuality
	At   geom.Pose `toml:"at,direction" unit:"m" need:"['210 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
	Low  float64   `toml:"low" unit:"m" default:"20 mm" min:"0 mm" max:"10 m"` // its range
	High float64   `toml:"high" unit:"m" default:"2 m" min:"10 mm" max:"20 m"`
}

// OpticalSensor sees whether a piece is at a place on a conveyor.
type OpticalSensor struct {
	Timing
	On    int     `toml:"on" refer:"part"`
	Along float64 `toml:"along" unit:"m" need:"'200 mm'" min:"0 mm" max:"3 m"` // the conveyor
}

// RotationSensor reads a lift's position.
type RotationSensor struct {
	Timing
	LiftQuality
	On int `toml:"on" refer:"part"`
}

// BumperSensor feels what touches it.
type BumperSensor struct {
	Timing
	At geom.Pose `toml:"at,direction" unit:"m" need:"['210 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
}

// Reading is what makes a sensor's readings of the truth.
func (s *Sensor) Reading() (Timing, Quality) {
	switch s.Kind {
	case Encoder:
		return s.Encoder.Timing, Quality(s.Encoder.LengthQuality)
	case Tracking:
		return s.Tracking.Timing, Quality(s.Tracking.LengthQuality)
	case Inertial:
		return s.Inertial.Timing, Quality(s.Inertial.AngleQuality)
	case Distance:
		return s.Distance.Timing, Quality(s.Distance.LengthQuality)
	case Optical:
		return s.Optical.Timing, Quality{}
	case Rotation:
		return s.Rotation.Timing, Quality(s.Rotation.LiftQuality)
	case Bumper:
		return s.Bumper.Timing, Quality{}
	}
	return Timing{}, Quality{}
}

// Mount is where in the robot's frame a sensor that has a place of its own sits, and which way it looks or rolls.
func (s *Sensor) Mount() geom.Pose {
	switch s.Kind {
	case Tracking:
		return s.Tracking.At
	case Distance:
		return s.Distance.At
	case Bumper:
		return s.Bumper.At
	}
	return geom.Pose{}
}

// Part is the index of the part that the sensor is on, -1 for none.
func (s *Sensor) Part() int {
	switch s.Kind {
	case Optical:
		return s.Optical.On
	case Rotation:
		return s.Rotation.On
	}
	return -1
}
