package robot

import (
	"fmt"

	"chalkfield/internal/base/units"
)

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
	tables := 0
	is := func(kind SensorKind, given bool) {
		if given {
			s.Kind = kind
			tables++
		}
	}
	is(Encoder, s.Encoder != nil)
	is(Tracking, s.Tracking != nil)
	is(Inertial, s.Inertial != nil)
	is(Distance, s.Distance != nil)
	is(Optical, s.Optical != nil)
	is(Rotation, s.Rotation != nil)
	is(Bumper, s.Bumper != nil)
	if tables != 1 {
		r.at.Errorf(p, "a sensor has one table of its kind, this one has %d: write [sensors.encoder], [sensors.tracking_wheel], [sensors.inertial], [sensors.distance], [sensors.optical], [sensors.rotation] or [sensors.bumper]", tables)
		s.Kind = ""
	}
	switch s.Kind {
	case Distance:
		if s.Distance.Low >= s.Distance.High {
			r.at.Errorf(p+".distance.high", "the range ends before it begins: write more than low, %q", units.Text(s.Distance.Low, "m"))
		}
	case Optical:
		r.optical(p+".optical", s.Optical)
	case Rotation:
		s.Rotation.On = r.part(p+".rotation.on", KindLift, true)
		scale := armScale
		if s.Rotation.On >= 0 {
			scale = r.out.Parts[s.Rotation.On].Lift.scale()
		}
		r.travels(scale, p+".rotation", "resolution", "noise")
	}
}

func (r *reader) optical(p string, s *OpticalSensor) {
	s.On = r.part(p+".on", KindConveyor, true)
	if s.On < 0 {
		return
	}
	if belt := r.out.Parts[s.On].Conveyor.Length; s.Along > belt {
		r.at.Errorf(p+".along", "%s is beyond the conveyor: write a value from \"0 mm\" to \"%s\"", units.Text(s.Along, "m"), units.Text(belt, "m"))
	}
}
