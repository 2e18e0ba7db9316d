package robotfile

import (
	"fmt"

	"chalkfield/internal/units"
)

func (r *reader) readSensors() {
	if n := len(r.file.Sensors); n > maxSensors {
		r.at.Errorf("sensors", "%d sensors are more than the %d a robot may have", n, maxSensors)
		return
	}
	for i, f := range r.file.Sensors {
		p := fmt.Sprintf("sensors[%d]", i)
		r.name(p+".name", "sensor", f.Name, r.sensors)
		r.sensors = append(r.sensors, f.Name)
		r.out.Sensors = append(r.out.Sensors, r.sensor(p, f))
	}
}

// sensor reads the one table of a kind that a sensor has.
func (r *reader) sensor(p string, f sensorFile) Sensor {
	var found []Sensor
	if e := f.Encoder; e != nil {
		found = append(found, r.encoder(p+".encoder", e))
	}
	if t := f.Tracking; t != nil {
		found = append(found, r.tracking(p+".tracking_wheel", t))
	}
	if g := f.Inertial; g != nil {
		found = append(found, r.inertial(p+".inertial", g))
	}
	if d := f.Distance; d != nil {
		found = append(found, r.distance(p+".distance", d))
	}
	if o := f.Optical; o != nil {
		found = append(found, r.optical(p+".optical", o))
	}
	if t := f.Rotation; t != nil {
		found = append(found, r.rotation(p+".rotation", t))
	}
	if b := f.Bumper; b != nil {
		found = append(found, r.timed(p+".bumper", Sensor{Kind: Bumper, Part: -1, At: b.At.pose(b.Direction)}, b.timingFile))
	}
	if len(found) != 1 {
		r.at.Errorf(p, "a sensor has one table of its kind, this one has %d: write [sensors.encoder], [sensors.tracking_wheel], [sensors.inertial], [sensors.distance], [sensors.optical], [sensors.rotation] or [sensors.bumper]", len(found))
		return Sensor{Name: f.Name, Part: -1}
	}
	found[0].Name = f.Name
	return found[0]
}

// timed adds what every kind of sensor may have.
func (r *reader) timed(p string, s Sensor, f timingFile) Sensor {
	s.Rate = float64(f.Rate)
	s.Latency = float64(f.Latency)
	s.Dropout = f.Dropout
	return s
}

// measured adds the quality of a length.
func (r *reader) measured(p string, s Sensor, f lengthFile) Sensor {
	s.Resolution = float64(f.Resolution)
	s.Noise = float64(f.Noise)
	s.Scale = f.Scale
	return r.timed(p, s, f.timingFile)
}

func (r *reader) encoder(p string, f *encoderFile) Sensor {
	train := r.at.Index(p+".train", "driven train", f.Train, []string{"left", "right"})
	return r.measured(p, Sensor{Kind: Encoder, Part: -1, Train: Train(max(0, train))}, f.lengthFile)
}

func (r *reader) tracking(p string, f *trackingFile) Sensor {
	s := Sensor{Kind: Tracking, Part: -1, At: f.At.pose(f.Direction), Radius: float64(f.Radius)}
	return r.measured(p, s, f.lengthFile)
}

func (r *reader) inertial(p string, f *inertialFile) Sensor {
	return r.timed(p, Sensor{
		Kind:       Inertial,
		Part:       -1,
		Resolution: float64(f.Resolution),
		Noise:      float64(f.Noise),
		Scale:      f.Scale,
		Walk:       float64(f.Walk),
		BiasWalk:   float64(f.BiasWalk),
		Bias:       float64(f.Bias),
	}, f.timingFile)
}

func (r *reader) distance(p string, f *distanceFile) Sensor {
	s := Sensor{Kind: Distance, Part: -1, At: f.At.pose(f.Direction)}
	s.Low = float64(f.Low)
	s.High = float64(f.High)
	if s.Low >= s.High {
		r.at.Errorf(p+".high", "the range ends before it begins: write more than low, %q", f.Low.String())
	}
	return r.measured(p, s, f.lengthFile)
}

func (r *reader) optical(p string, f *opticalFile) Sensor {
	s := Sensor{Kind: Optical, Part: r.part(p+".on", f.On, KindConveyor, true), Along: float64(f.Along)}
	if s.Part >= 0 {
		if belt := units.Length(r.out.Parts[s.Part].Conveyor.Length); f.Along > belt {
			r.at.Errorf(p+".along", "%v is beyond the conveyor: write a value from \"0 mm\" to \"%v\"", f.Along, belt)
		}
	}
	return r.timed(p, s, f.timingFile)
}

func (r *reader) rotation(p string, f *rotationFile) Sensor {
	s := Sensor{Kind: Rotation, Part: r.part(p+".on", f.On, KindLift, true), Scale: f.Scale}
	scale := armScale
	if s.Part >= 0 && r.out.Parts[s.Part].Lift.Elevator {
		scale = elevatorScale
	}
	s.Resolution = r.travel(scale, p+".resolution", f.Resolution, 0)
	s.Noise = r.travel(scale, p+".noise", f.Noise, 0)
	return r.timed(p, s, f.timingFile)
}
