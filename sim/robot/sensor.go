package robot

import (
	"fmt"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// SensorKind of a sensor: the name of its table, _ as a space.
type SensorKind string

// Sensor is one sensor: its name, and exactly one table, the one of its kind. A member here makes a kind known.
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
	Line     *LineSensor     `toml:"line"`
	Mark     *MarkSensor     `toml:"mark"`
}

// Device is what a sensor's table does.
type Device interface {
	read(r *reader, path string) // completes it, and notes what is wrong
	Reading() (Timing, Quality)  // what makes its readings of the truth
	// where in the robot's frame it sits, if it has a place of its own, and which way it looks or rolls
	Mount() (at geom.Pose, is bool)
	Part() int                        // index of the part that it is on, -1 for none
	Note(*Robot, units.System) string // what it measures, in words behind its kind's and its place
}

// Spec is the table that the sensor has, nil for none.
func (s Sensor) Spec() Device { return only(given[Device](devices, s)) }

// Mount is where the sensor sits, nowhere where it has no place of its own.
func (s Sensor) Mount() (at geom.Pose) {
	if spec := s.Spec(); spec != nil {
		at, _ = spec.Mount()
	}
	return at
}

// Timing is what every sensor may have.
type Timing struct {
	Rate    float64 `toml:"rate" unit:"Hz" min:"0.5 Hz" max:"100 kHz" zero:"every control tick"`
	Latency float64 `toml:"latency" unit:"s" min:"0 s" max:"1 s"`
	Dropout float64 `toml:"dropout" min:"0" max:"0.99"` // probability that a reading is lost (the last one is kept)
}

// What a sensor has unless its kind says otherwise.
func (t Timing) read(*reader, string)             {}
func (t Timing) Reading() (Timing, Quality)       { return t, Quality{} }
func (t Timing) Mount() (at geom.Pose, is bool)   { return geom.Pose{}, false }
func (t Timing) Part() int                        { return -1 }
func (t Timing) Note(*Robot, units.System) string { return "" }

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

// ShareQuality is that of a sensor that reads a share, 0 to 1.
type ShareQuality struct {
	Resolution float64 `toml:"resolution" min:"0.000001" max:"0.5" zero:"an ideal sensor"`
	Noise      float64 `toml:"noise" min:"0" max:"0.5"`
	Scale      float64 `toml:"scale" min:"-0.5" max:"0.5"`
}

// LiftQuality is that of a sensor that reads a lift's position.
type LiftQuality struct {
	Resolution float64 `toml:"resolution" unit:"rad|m" min:"0.00001 deg|0.0001 mm" max:"90 deg|750 mm" zero:"an ideal sensor"`
	Noise      float64 `toml:"noise" unit:"rad|m" min:"0 deg|0 mm" max:"90 deg|750 mm"`
	Scale      float64 `toml:"scale" min:"-0.5" max:"0.5"`
}

func (r *reader) readSensors() {
	if n := len(r.out.Sensors); n > maxSensors {
		r.at.Errorf("sensors", "%d sensors are more than the %d a robot may have", n, maxSensors)
		return
	}
	names := []string{}
	for i := range r.out.Sensors {
		s, p := &r.out.Sensors[i], fmt.Sprintf("sensors[%d]", i)
		r.name(p+".name", "sensor", s.Name, names)
		names = append(names, s.Name)
		r.sensor(p, s)
	}
}

// sensor completes the one table of a kind that a sensor has.
func (r *reader) sensor(p string, s *Sensor) {
	found, tables := given[Device](devices, *s)
	if len(found) != 1 {
		r.at.Errorf(p, "a sensor has one table of its kind, this one has %d: write %s", len(found),
			choice("sensors", devices))
		return
	}
	s.Kind = SensorKind(strings.ReplaceAll(found[0], "_", " "))
	tables[0].read(r, p+"."+found[0])
}
