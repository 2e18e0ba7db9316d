package fit

import (
	"math"

	"chalkfield/fields"
	"chalkfield/internal/app/logfile"
	"chalkfield/internal/base/geom"
	"chalkfield/sim"
	"chalkfield/sim/robot"
)

// stage is where drives are simulated: a bare floor on which nothing is met.
type stage struct {
	floor *fields.Field
	start geom.Pose
}

const stageSide = 50.0 // m: the most that a field may have

func newStage() (*stage, error) {
	field, err := fields.Parse("hall.toml", []byte(fields.BareText("hall", stageSide, stageSide, longest+1)))
	return &stage{floor: field, start: geom.Pose{X: stageSide / 2, Y: stageSide / 2}}, err
}

// machine is a robot to try.
type machine struct {
	spec *robot.Robot
	late float64 // s from a command to what the log says of it, in place of the file's latency

	current float64 // of the stall current against what follows from the motors' power, in logarithms
	turned  float64 // of the inertial sensor's scale beyond the file's
}

// bare is a robot's drive base: what else it has does not move it. The battery gives all that the logged volts ask for
// where the log has the battery's volts.
func (m machine) bare(d *drive) *robot.Robot {
	r := *m.spec
	r.Parts, r.Sensors, r.Air = nil, nil, nil
	r.Odometry = robot.Odometry{Method: robot.ByEncoders, Across: -1, Inertial: -1}
	r.Spread = robot.Spread{}
	r.Drive.Coasts, r.Drive.Latency = d.coasts, m.late-m.shift()
	if d.supplied() {
		r.Battery = robot.Battery{Open: 60, Empty: 60}
	}
	return &r
}

// shift is the part of the latency that is whole ticks, s.
func (m machine) shift() float64 {
	return math.Floor(m.late/sim.ControlTick+rounding) * sim.ControlTick
}

// scale is how much of a turn the inertial sensor says.
func (m machine) scale() float64 {
	for _, s := range m.spec.Sensors {
		if s.Inertial != nil {
			return 1 + s.Inertial.Scale + m.turned
		}
	}
	return 1 + m.turned
}

// motion is what a simulated drive did, from its begin on every half tick. Travel is by the radius that the robot's
// program takes its wheels for.
type motion struct {
	late    float64 // s: what is logged at a time was commanded so much before
	shift   float64 // s: what is logged at a time happened so much before
	scale   float64 // how much of a turn the log says
	travel  [2][]float64
	heading []float64    // as the log says it
	volts   [2][]float64 // at the motors in the half tick before
	amps    [2][]float64
	pose    geom.Pose // at the end
}

// simulate drives a robot with a drive's volts. A tick gets the mean of what was given during it; its ticks begin where
// rows do. Of the latency whole ticks are a shift of what would be logged, and the rest makes the volts late, as in a
// rehearsal.
func (s *stage) simulate(m machine, d *drive, wheel float64) (*motion, error) {
	spec := m.bare(d)
	world, err := sim.New(sim.Config{Field: s.floor, Nominal: true, Robots: []sim.Entry{{Spec: spec, Start: s.start}}})
	if err != nil {
		return nil, err
	}
	r, radii, motor := world.Robots()[0], radiiOf(spec), spec.Motors[spec.Drive.Motor]
	out := &motion{late: m.late, shift: m.shift(), scale: m.scale()}
	took := func() {
		rolled, volts, amps := r.Rolled(), r.DriveVolts(), r.TrainAmps()
		for side := range 2 {
			out.travel[side] = append(out.travel[side], rolled[side]*wheel/radii[side])
			out.volts[side] = append(out.volts[side], volts[side])
			out.amps[side] = append(out.amps[side], amps[side])
		}
		out.heading = append(out.heading, (r.Pose().Heading-s.start.Heading)*out.scale)
	}
	took()
	for tick := range d.ticks {
		from := d.from + float64(float64(tick)*sim.ControlTick)
		var volts [2]float64
		for side := range 2 {
			volts[side] = d.volts[side].mean(from, from+sim.ControlTick)
			if open := 1 - d.on[side].mean(from, from+sim.ControlTick); open > 1-rounding {
				volts[side] = 0
			} else if d.coasts && open > rounding {
				// While it coasts a motor has its own voltage: to give it that for a part of a tick makes no current.
				volts[side] += float64(open * motor.VoltsPerSpeed() * spec.Drive.Gear * r.WheelSpeeds()[side] / radii[side])
			}
		}
		r.SetDriveVolts(volts[0], volts[1])
		for range 2 {
			world.Stride()
			took()
		}
	}
	pose := r.Pose()
	out.pose = s.start.Relative(pose)
	out.pose.Heading = pose.Heading - s.start.Heading
	return out, nil
}

// rounding is what a tick's share may be off by because its begin and a row's time are rounded.
const rounding = 1e-6

// supplied tells whether the log has the battery's volts.
func (r *recording) supplied() bool { return r.log.Column(logfile.BatteryVolts) != nil }

// wheel is the radius, one for both sides, by which a log's travel was made of its wheels' turns: what log.toml says,
// else the file's. So a file that has sides of unequal size already gets no more of it from the same log.
func (e *estimation) wheel(d *drive) float64 {
	if d.log.Wheel > 0 {
		return d.log.Wheel
	}
	return meanRadius(e.spec)
}

func meanRadius(r *robot.Robot) float64 {
	radii := radiiOf(r)
	return (radii[0] + radii[1]) / 2
}

// radiiOf are those of the trains' wheels, m.
func radiiOf(r *robot.Robot) (radii [2]float64) {
	for _, w := range r.Wheels {
		if w.Train != robot.Free {
			radii[w.Train] = w.Radius
		}
	}
	return radii
}

const halfTick = sim.ControlTick / 2 // s

// at is a value at a time of those that are half a tick apart; before the first the robot stands.
func at(values []float64, t float64) float64 {
	x := math.Max(0, t/halfTick)
	i := min(int(x), len(values)-2)
	return values[i] + float64((values[i+1]-values[i])*math.Max(0, x-float64(i)))
}

// cells gives what a signal of a drive would have logged of a motion.
func (m *motion) cells(k kind, edges []float64) []float64 {
	values := m.heading
	switch k {
	case leftSpeed, rightSpeed:
		values = m.travel[k-leftSpeed]
	case leftAmps, rightAmps:
		values = sizes(m.amps[k-leftAmps])
	}
	out := make([]float64, len(edges)-1)
	before := at(values, edges[0]-m.shift)
	for i := range out {
		now := at(values, edges[i+1]-m.shift)
		if k == leftAmps || k == rightAmps {
			out[i] = (now + before) / 2
		} else {
			out[i] = (now - before) / (edges[i+1] - edges[i])
		}
		before = now
	}
	return out
}

// sizes are those of currents: not every controller says which way its current flows.
func sizes(values []float64) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = math.Abs(v)
	}
	return out
}

// ended gives what an end of a drive would have logged. Of an inertial sensor whose scale is off, the log's axes have
// turned on since it began to count, by as much as it says too much.
func (m *motion) ended(e *end) float64 {
	switch e.kind {
	case endLeft, endRight:
		way := m.travel[e.kind-endLeft]
		return way[len(way)-1]
	case endHeading:
		return m.pose.Heading * m.scale
	}
	seen := geom.Rotate(m.pose.At(), e.start*(1/m.scale-1))
	if e.kind == endAlong {
		return seen.X
	}
	return seen.Y
}
