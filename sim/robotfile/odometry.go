package robotfile

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/geom"
	"chalkfield/internal/portable"
)

// readOdometry also completes a file that leaves things out: without [odometry], or with encoders or an inertial sensor
// missing, ideal ones are added.
func (r *reader) readOdometry() {
	f := r.file.Odometry
	o := &r.out.Odometry
	o.Across, o.Inertial = -1, -1
	o.Track = float64(f.Track)
	if o.Track == 0 && r.at.Err() == nil {
		o.Track = r.out.EffectiveTrack()
	}
	switch o.Method = OdometryMethod(f.Method); o.Method {
	case ByEncoders:
		o.Along = r.encoders(f)
		r.unused(f.Inertial, "odometry.inertial", f.Method)
		r.unused(f.Across, "odometry.across", f.Method)
	case ByEncodersInertial:
		o.Along = r.encoders(f)
		o.Inertial = r.heading(f, true)
		o.Across = r.across(f)
	case ByTracking:
		r.byTracking(f, o)
	default:
		r.at.Index("odometry.method", "method of odometry", f.Method, []string{string(ByEncoders), string(ByEncodersInertial), string(ByTracking)})
	}
}

func (r *reader) unused(value, path, method string) {
	if value != "" {
		r.at.Errorf(path, "the method %q does not use it: leave it out or write method = %q", method, ByTracking)
	}
}

// encoders are the left and the right one: those named, else the first of each train, else ideal ones added.
func (r *reader) encoders(f odometryFile) []int {
	if f.Along != nil {
		return r.namedEncoders(f.Along)
	}
	out := []int{-1, -1}
	for i, s := range r.out.Sensors {
		if s.Kind == Encoder && out[s.Train] < 0 {
			out[s.Train] = i
		}
	}
	for train, i := range out {
		if i < 0 {
			out[train] = r.add(Sensor{Name: [...]string{"left_encoder", "right_encoder"}[train], Kind: Encoder, Train: Train(train), Part: -1})
		}
	}
	return out
}

func (r *reader) namedEncoders(names []string) []int {
	if len(names) != 2 {
		r.at.Errorf("odometry.along", "name the left and the right encoder, in this order, such as [\"left_encoder\", \"right_encoder\"], or leave the key out")
		return []int{0, 0}
	}
	out := []int{0, 0}
	for i, name := range names {
		path := fmt.Sprintf("odometry.along[%d]", i)
		out[i] = r.named(path, name, Encoder)
		if out[i] >= 0 && r.out.Sensors[out[i]].Train != Train(i) {
			r.at.Errorf(path, "%q is on the other train: name the left encoder first, then the right one", name)
		}
	}
	return out
}

// across is the tracking wheel that sees side slip: only one that is named.
func (r *reader) across(f odometryFile) int {
	if f.Across == "" {
		return -1
	}
	i := r.named("odometry.across", f.Across, Tracking)
	if i >= 0 && math.Abs(portable.Sin(r.out.Sensors[i].At.Heading)) < 0.5 {
		r.at.Errorf("odometry.across", "this wheel rolls along the robot: mount it across, direction = \"90 deg\"")
	}
	return i
}

// named is the index of the sensor of a kind that a key names.
func (r *reader) named(path, name string, kind SensorKind) int {
	i := r.at.Index(path, "sensor of this robot", name, r.sensors)
	if i >= 0 && r.out.Sensors[i].Kind != kind {
		r.at.Errorf(path, "%q is no %s sensor: name one that is", name, kind)
		return -1
	}
	return i
}

// heading is the inertial sensor: the one named, else the first, else, if needed, an ideal one added.
func (r *reader) heading(f odometryFile, needed bool) int {
	if f.Inertial != "" {
		return r.named("odometry.inertial", f.Inertial, Inertial)
	}
	for i, s := range r.out.Sensors {
		if s.Kind == Inertial {
			return i
		}
	}
	if !needed {
		return -1
	}
	return r.add(Sensor{Name: "inertial", Kind: Inertial, Part: -1})
}

// add puts in a sensor that the file does not have, under a name that is free.
func (r *reader) add(s Sensor) int {
	for i := 2; slices.Contains(r.sensors, s.Name); i++ {
		s.Name = fmt.Sprintf("%s_%d", s.Name, i)
	}
	r.sensors = append(r.sensors, s.Name)
	r.out.Sensors = append(r.out.Sensors, s)
	return len(r.out.Sensors) - 1
}

// byTracking takes the wheels named, or else sorts all tracking wheels by their direction.
func (r *reader) byTracking(f odometryFile, o *Odometry) {
	for i, name := range f.Along {
		o.Along = append(o.Along, r.named(fmt.Sprintf("odometry.along[%d]", i), name, Tracking))
	}
	o.Across = r.across(f)
	if f.Along == nil {
		r.sortTracking(f, o)
	}
	o.Inertial = r.heading(f, false)
	if len(o.Along) == 0 {
		r.at.Errorf("odometry", "the method %q needs a tracking wheel along the robot: add a sensor with [sensors.tracking_wheel]", f.Method)
		return
	}
	r.checkTracking(o)
}

func (r *reader) sortTracking(f odometryFile, o *Odometry) {
	for i, s := range r.out.Sensors {
		if s.Kind != Tracking {
			continue
		}
		if math.Abs(portable.Cos(s.At.Heading)) > math.Sqrt2/2 {
			o.Along = append(o.Along, i)
		} else if o.Across < 0 && f.Across == "" {
			o.Across = i
		}
	}
}

// checkTracking: the equations must have a solution.
func (r *reader) checkTracking(o *Odometry) {
	if slices.Contains(o.Along, -1) {
		return // reported already
	}
	mount := func(i int) geom.Pose { return r.out.Sensors[i].At }
	first := mount(o.Along[0])
	for _, i := range o.Along {
		if math.Abs(geom.WrapAngle(mount(i).Heading-first.Heading)) > 1e-6 {
			r.at.Errorf("odometry.along", "the wheels along are not parallel: give them one direction")
		}
	}
	if o.Across >= 0 && math.Abs(portable.Sin(mount(o.Across).Heading-first.Heading)) < 0.5 {
		r.at.Errorf("odometry.across", "this wheel is nearly parallel to those along: mount it across, direction = \"90 deg\"")
	}
	if o.Across < 0 && math.Abs(portable.Cos(first.Heading)) < 0.5 {
		r.at.Errorf("odometry.along", "this wheel does not roll along the robot: direction = \"0 deg\"")
	}
	if o.Inertial < 0 && (len(o.Along) < 2 || math.Abs(lever(mount(o.Along[0]))-lever(mount(o.Along[1]))) < 0.01) {
		r.at.Errorf("odometry", "nothing measures the heading: add an inertial sensor, or a second wheel along at another distance to the side")
	}
}

// lever is what a wheel rolls per radian of turning, m.
func lever(mount geom.Pose) float64 {
	u := geom.Unit(mount.Heading)
	return float64(u.Y*mount.X) - float64(u.X*mount.Y)
}
