package robot

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
)

// readOdometry also completes a file that leaves things out: without [odometry], or with encoders or an inertial sensor
// missing, ideal ones are added.
func (r *reader) readOdometry() {
	o := &r.out.Odometry
	if o.Track == 0 && r.at.Err() == nil {
		o.Track = r.out.EffectiveTrack()
	}
	switch o.Method {
	case ByEncoders:
		o.Along = r.encoders()
		r.unused("odometry.inertial", o.Method)
		r.unused("odometry.across", o.Method)
	case ByEncodersInertial:
		o.Along = r.encoders()
		o.Inertial = r.heading(true)
		o.Across = r.across()
	case ByTracking:
		r.byTracking(o)
	}
}

func (r *reader) unused(path string, method OdometryMethod) {
	if r.at.Text(path) != "" {
		r.at.Errorf(path, "the method %q does not use it: leave it out or write method = %q", method, ByTracking)
	}
}

// encoders are the left and the right one: those named, else the first of each train, else ideal ones added.
func (r *reader) encoders() []int {
	if r.at.Has("odometry.along") {
		return r.namedEncoders()
	}
	out := []int{-1, -1}
	for i, s := range r.out.Sensors {
		if s.Kind == Encoder && out[s.Encoder.Train] < 0 {
			out[s.Encoder.Train] = i
		}
	}
	for train, i := range out {
		if i < 0 {
			out[train] = r.add(Sensor{Name: [...]string{"left_encoder", "right_encoder"}[train], Kind: Encoder,
				Encoder: &EncoderSensor{Train: Train(train)}})
		}
	}
	return out
}

func (r *reader) namedEncoders() []int {
	out := []int{0, 0}
	if r.at.Length("odometry.along") != len(out) {
		r.at.Errorf("odometry.along", "name the left and the right encoder, in this order, such as [\"left_encoder\", "+
			"\"right_encoder\"], or leave the key out")
		return out
	}
	for i := range out {
		path := fmt.Sprintf("odometry.along[%d]", i)
		out[i] = r.named(path, Encoder)
		if out[i] >= 0 && r.out.Sensors[out[i]].Encoder.Train != Train(i) {
			r.at.Errorf(path, "%q is on the other train: name the left encoder first, then the right one", r.at.Text(path))
		}
	}
	return out
}

// across is the tracking wheel that sees side slip: only one that is named.
func (r *reader) across() int {
	if r.at.Text("odometry.across") == "" {
		return -1
	}
	i := r.named("odometry.across", Tracking)
	if i >= 0 && math.Abs(portable.Sin(r.out.Sensors[i].Mount().Heading)) < 0.5 {
		r.at.Errorf("odometry.across", "this wheel rolls along the robot: mount it across, direction = \"90 deg\"")
	}
	return i
}

// named is the index of the sensor of a kind that a key names.
func (r *reader) named(path string, kind SensorKind) int {
	name := r.at.Text(path)
	i := r.at.Index(path, "sensor of this robot", name, r.sensorNames())
	if i >= 0 && r.out.Sensors[i].Kind != kind {
		r.at.Errorf(path, "%q is no %s sensor: name one that is", name, kind)
		return -1
	}
	return i
}

func (r *reader) sensorNames() []string {
	names := make([]string, len(r.out.Sensors))
	for i, s := range r.out.Sensors {
		names[i] = s.Name
	}
	return names
}

// heading is the inertial sensor: the one named, else the first, else, if needed, an ideal one added.
func (r *reader) heading(needed bool) int {
	if r.at.Text("odometry.inertial") != "" {
		return r.named("odometry.inertial", Inertial)
	}
	for i, s := range r.out.Sensors {
		if s.Kind == Inertial {
			return i
		}
	}
	if !needed {
		return -1
	}
	return r.add(Sensor{Name: "inertial", Kind: Inertial, Inertial: &InertialSensor{}})
}

// add puts in a sensor that the file does not have, under a name that is free.
func (r *reader) add(s Sensor) int {
	for i := 2; slices.Contains(r.sensorNames(), s.Name); i++ {
		s.Name = fmt.Sprintf("%s_%d", s.Name, i)
	}
	r.out.Sensors = append(r.out.Sensors, s)
	return len(r.out.Sensors) - 1
}

// byTracking takes the wheels named, or else sorts all tracking wheels by their direction.
func (r *reader) byTracking(o *Odometry) {
	for i := range o.Along {
		o.Along[i] = r.named(fmt.Sprintf("odometry.along[%d]", i), Tracking)
	}
	o.Across = r.across()
	if !r.at.Has("odometry.along") {
		r.sortTracking(o)
	}
	o.Inertial = r.heading(false)
	if len(o.Along) == 0 {
		r.at.Errorf("odometry", "the method %q needs a tracking wheel along the robot: add a sensor with "+
			"[sensors.tracking_wheel]", o.Method)
		return
	}
	r.checkTracking(o)
}

func (r *reader) sortTracking(o *Odometry) {
	for i, s := range r.out.Sensors {
		if s.Kind != Tracking {
			continue
		}
		if math.Abs(portable.Cos(s.Tracking.At.Heading)) > math.Sqrt2/2 {
			o.Along = append(o.Along, i)
		} else if o.Across < 0 && r.at.Text("odometry.across") == "" {
			o.Across = i
		}
	}
}

// checkTracking: the equations must have a solution.
func (r *reader) checkTracking(o *Odometry) {
	if slices.Contains(o.Along, -1) {
		return // reported already
	}
	mount := func(i int) geom.Pose { return r.out.Sensors[i].Mount() }
	first := mount(o.Along[0])
	for _, i := range o.Along {
		if math.Abs(geom.WrapAngle(mount(i).Heading-first.Heading)) > 1e-6 {
			r.at.Errorf("odometry.along", "the wheels along are not parallel: give them one direction")
		}
	}
	if o.Across >= 0 && math.Abs(portable.Sin(mount(o.Across).Heading-first.Heading)) < 0.5 {
		r.at.Errorf("odometry.across", "this wheel is nearly parallel to those along: mount it across, direction "+
			"= \"90 deg\"")
	}
	if o.Across < 0 && math.Abs(portable.Cos(first.Heading)) < 0.5 {
		r.at.Errorf("odometry.along", "this wheel does not roll along the robot: direction = \"0 deg\"")
	}
	if o.Inertial < 0 && (len(o.Along) < 2 || math.Abs(lever(mount(o.Along[0]))-lever(mount(o.Along[1]))) < 0.01) {
		r.at.Errorf("odometry", "nothing measures the heading: add an inertial sensor, or a second wheel along at another "+
			"distance to the side")
	}
}

// lever is what a wheel rolls per radian of turning, m.
func lever(mount geom.Pose) float64 {
	u := geom.Unit(mount.Heading)
	return float64(u.Y*mount.X) - float64(u.X*mount.Y)
}
