package sim

import (
	"math"

	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
	"chalkfield/sim/sensing"
)

// pressed is how near a thing must be to a bumper to press it, m.
const pressed = 0.004

// sensor is one sensor at work: what it measures and the channel to its reading.
type sensor struct {
	spec    robot.Sensor
	truth   func(*Robot, *sensor) float64 // what its quantity really is now
	channel *sensing.Channel
	gyro    *sensing.Gyro // inertial
	along   geom.Vec      // tracking wheel: unit vector of its rolling direction, robot frame
	lever   float64       // m: what it rolls per radian of turning
	rolled  float64       // m: tracking wheel, since the start
	part    mechanism     // optical, rotation
	looks   *lookout      // optical that tells what it sees
	watches []watch       // mark: of each of the field's
}

// addSensors makes the sensors and the odometry. The belief begins at the start that the robot was set up for.
func (r *Robot) addSensors() {
	w := r.world
	r.shape.SetFilter(r.filter())
	r.began = r.Pose().Heading
	r.readings = make([]float64, len(r.Spec.Sensors))
	for _, spec := range r.Spec.Sensors {
		name := r.chanceName(spec.Name)
		device := spec.Spec()
		at := spec.Mount()
		s := &sensor{spec: spec, truth: truths[spec.Kind], along: geom.Unit(at.Heading)}
		s.lever = float64(s.along.Y*at.X) - float64(s.along.X*at.Y)
		var scale float64
		if spec.Kind == robot.Encoder || spec.Kind == robot.Tracking {
			scale = w.draw(name+" scale", r.Spec.Spread.Sensors, "")
		}
		chance := sensing.Stream(w.seed, name)
		if w.nominal {
			chance = nil
		}
		timing, quality := device.Reading()
		s.channel = sensing.NewChannel(timing, quality, scale, ControlTick, chance)
		if spec.Kind == robot.Inertial {
			walk := chance
			if walk != nil {
				walk = sensing.Stream(w.seed, name+" drift")
			}
			s.gyro = sensing.NewGyro(spec.Inertial, w.draw(name+" bias", r.Spec.Spread.InertialBias, "rad/s"), walk)
		}
		if on := device.Part(); on >= 0 && on < len(r.mechanisms) {
			s.part = r.mechanisms[on]
		}
		if spec.Kind == robot.Optical && spec.Optical.Looks {
			s.looks = r.newLookout(name, spec.Optical.Mistakes)
		}
		if spec.Kind == robot.Mark {
			s.watches = r.newWatches(name, spec.Mark)
		}
		if spec.Kind == robot.Line {
			w.lay()
		}
		r.sensors = append(r.sensors, s)
	}
	r.startBelief()
}

// filter keeps the robot, and what it holds, out of its own sensors' sight.
func (r *Robot) filter() cp.ShapeFilter {
	return cp.NewShapeFilter(uint(r.Index)+1, cp.ALL_CATEGORIES, cp.ALL_CATEGORIES)
}

// roll turns the trains' encoders and the tracking wheels on by dt seconds, at the velocities with which the engine
// moves the bodies in this step.
func (r *Robot) roll(dt float64) {
	for t := range r.rolled {
		r.rolled[t] += float64(r.drive.rollers[t].speed * r.radius[t] * dt)
	}
	if len(r.tracking) == 0 {
		return
	}
	rot, v, omega := r.body.Rotation(), r.body.Velocity(), r.body.AngularVelocity()
	x, y := float64(rot.X*v.X)+float64(rot.Y*v.Y), float64(rot.X*v.Y)-float64(rot.Y*v.X)
	x, y = x+float64(omega*r.centre.Y), y-float64(omega*r.centre.X) // of the origin
	half := omega * dt / 2                                          // the frame turns during the step
	x, y = x+float64(half*y), y-float64(half*x)
	for _, s := range r.tracking {
		s.rolled += float64((float64(s.along.X*x) + float64(s.along.Y*y) + float64(s.lever*omega)) * dt)
	}
}

// Rolled is how far each train's motors have rolled its wheels since the start, m: what encoders without fault would
// read, which sit on the motors, before the play to the wheels.
func (r *Robot) Rolled() [2]float64 { return [2]float64{r.encoded(0), r.encoded(1)} }

func (r *Robot) encoded(train int) float64 {
	if p := r.drive.rollers[train].backlash; p != nil {
		return r.rolled[train] + float64(p.ahead*r.radius[train])
	}
	return r.rolled[train]
}

// sense lets the robot's sensors and odometry read the world; called once per control tick.
func (r *Robot) sense() {
	for i, s := range r.sensors {
		s.channel.Sample(s.truth(r, s))
		r.readings[i] = s.reading()
	}
	r.measureWheels()
	r.tracker.Update(r.readings)
}

// reading is what has come of the truth.
func (s *sensor) reading() float64 {
	x := s.channel.Reading()
	switch {
	case s.looks != nil:
		return one(x > 0)
	case s.spec.Line != nil: // no noise makes more than all of it
		return geom.Clamp(x, 0, 1)
	}
	for i := range s.watches {
		x += one(s.watches[i].away.Reading() > 0)
	}
	return x
}

// AppendTold appends what the robot's sensors tell beside their readings, in the order of its file's Columns.
func (r *Robot) AppendTold(list []float64) []float64 {
	for _, s := range r.sensors {
		if s.looks != nil {
			list = append(list, s.channel.Reading())
		}
		for i := range s.watches {
			seen := s.watches[i].sight()
			list = append(list, seen.Range, seen.Bearing)
		}
	}
	return list
}

// PieceBefore is what an optical sensor tells of the piece before it: its kind, "" for no piece, and its side, "" for
// neither's.
func (r *Robot) PieceBefore(sensor int) (kind, side string) {
	look := int(r.sensors[sensor].channel.Reading())
	if look == 0 {
		return "", ""
	}
	b, f := r.world.bodies[look-1], r.world.field
	if b.Side >= 0 {
		side = f.Sides[b.Side].Name
	}
	return f.PieceKinds[b.Kind].Name, side
}

// truths measure what each kind of sensor reads.
var truths = map[robot.SensorKind]func(*Robot, *sensor) float64{
	robot.Encoder:  func(r *Robot, s *sensor) float64 { return r.encoded(int(s.spec.Encoder.Train)) },
	robot.Tracking: func(_ *Robot, s *sensor) float64 { return s.rolled },
	robot.Inertial: func(r *Robot, s *sensor) float64 { return r.Pose().Heading - r.began + s.gyro.Step(ControlTick) },
	robot.Distance: func(r *Robot, s *sensor) float64 {
		if !s.channel.Due() {
			return 0
		}
		return math.Max(s.spec.Distance.Low, r.ray(s.spec.Distance.At, s.spec.Distance.High))
	},
	robot.Optical:  (*Robot).opticalTruth,
	robot.Rotation: func(_ *Robot, s *sensor) float64 { return s.part.(*lift).at },
	robot.Line:     (*Robot).lineTruth,
	robot.Mark:     (*Robot).markTruth,
	robot.Bumper: func(r *Robot, s *sensor) float64 {
		return one(s.channel.Due() && r.ray(s.spec.Bumper.At, pressed) < pressed)
	},
}

// opticalTruth is the look of the piece before the sensor, or 1 for any if it does not tell.
func (r *Robot) opticalTruth(s *sensor) float64 {
	b := s.part.(*conveyor).seen(s.spec.Optical.Along)
	switch {
	case s.looks == nil:
		return one(b != nil)
	case !s.channel.Due():
		return 0
	}
	return s.looks.mistake(r.world.look(b), s.spec.Optical.Mistakes)
}

func one(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}
