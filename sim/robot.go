package sim

import (
	"cmp"
	"math"

	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"
	"chalkfield/sim/power"
	"chalkfield/sim/robot"
)

// Robot is one machine on the field.
type Robot struct {
	Index int
	Spec  *robot.Robot
	Side  int

	world   *World
	body    *cp.Body
	shape   *cp.Shape
	drive   *driveline
	battery power.Battery
	parts   []part
	payload []cargo
	joints  []*joint
	centre  geom.Vec // of mass with everything held, robot frame, m
	outline geom.Polygon
	lines   []*power.Line // the trains, then the mechanisms' motors
	loads   []power.Load  // what they ask for in this step
	motors  []motored
	ledger  ledger
	balance balance
	known   *robot.Robot // what its controllers take it for
	model   robot.Model  // see Model
	outfit
}

// part is a mechanism. Mechanisms are stepped in file order, before the bodies move.
type part interface {
	// step lets the mechanism act for dt seconds.
	step(dt float64)
}

// motored parts have a motor.
type motored interface {
	// load is what it asks of the battery now.
	load() power.Load
}

// cargo is a held piece as the chassis feels it.
type cargo struct {
	body int
	mass float64
	at   geom.Vec
}

// newRobot puts a robot on the floor.
func (w *World) newRobot(index int, e Entry, start geom.Pose, s robotDraw) *Robot {
	c := e.Spec.Chassis
	r := &Robot{Index: index, Spec: e.Spec, Side: e.Side, world: w, known: cmp.Or(e.Known, e.Spec)}
	r.meant = e.Start
	r.outline = c.Shape()
	r.body = newBody(c.Mass, chassisInertia(c))
	r.body.UserData = r
	r.centre = c.Centre
	r.shape = polygonShape(r.body, shifted(r.outline, geom.Vec{X: -c.Centre.X, Y: -c.Centre.Y}))
	r.shape.SetFriction(c.Friction)
	r.shape.SetElasticity(c.Restitution)
	r.drive = newDriveline(r.body, r.meet, e.Spec, w.grip, s.motors, s.radius)
	r.drive.impacts.space = w.space
	r.drive.centre(e.Spec.Wheels, r.centre)
	r.balance.edges = e.Spec.Edges()
	r.balance.settle(r.centre, c.CentreHeight)
	for t := range r.drive.lines {
		r.lines = append(r.lines, &r.drive.lines[t])
	}
	r.battery = power.NewBattery(e.Spec.Battery, s.charge)
	setOrigin(r.body, r.centre, start)
	w.space.AddBody(r.body)
	w.space.AddShape(r.shape)
	w.space.AddConstraint(cp.NewConstraint(r.drive, r.body, w.ground))
	return r
}

// chassisInertia is the file's value, or a uniform plate's.
func chassisInertia(c robot.Chassis) float64 {
	if c.Inertia > 0 {
		return c.Inertia
	}
	return c.UniformInertia()
}

// Pose of the robot's origin; the heading is not wrapped.
func (r *Robot) Pose() geom.Pose { return originOf(r.body, r.centre) }

// Velocity of the robot's origin in the field's frame, m/s, and its turning rate, rad/s.
func (r *Robot) Velocity() (vx, vy, omega float64) { return originVelocity(r.body, r.centre) }

// Outline is the robot's outline where it stands.
func (r *Robot) Outline() geom.Polygon { return r.outline.Placed(r.Pose()) }

// SetDriveVolts commands the trains, through the motor controller if the file gives it faults. The motors get no more
// than the battery's terminal voltage; 0 V brakes or coasts.
// What is not a number counts as 0.
func (r *Robot) SetDriveVolts(left, right float64) {
	if math.IsNaN(left) {
		left = 0
	}
	if math.IsNaN(right) {
		right = 0
	}
	r.drive.ask([2]float64{left, right})
}

// Repeats says that what the trains are commanded is what motors had: it needs no controller.
func (r *Robot) Repeats() { r.drive.controller = nil }

// SetCoasting says what the trains do at 0 V: coast, their circuits open, or brake, the motors shorted.
func (r *Robot) SetCoasting(coasts bool) {
	for t := range r.drive.lines {
		r.drive.lines[t].Coasts = coasts
	}
}

// Model is what the robot's controllers may know of it.
func (r *Robot) Model() robot.Model {
	if r.model.Period == 0 {
		r.model = r.known.Model()
		r.model.Period = ControlTick
	}
	return r.model
}

// DriveVolts are the voltages at the motors in the last step, left and right. Coasting motors have that of an open
// circuit: who repeats it makes them coast.
func (r *Robot) DriveVolts() (volts [2]float64) {
	for t := range volts {
		q := &r.drive.rollers[t]
		if volts[t] = q.volts; q.volts == 0 && q.line.Coasts {
			volts[t] = q.line.Across(0, q.motorSpeed())
		}
	}
	return volts
}

// Asked is what the trains were commanded, left and right, V; nil where the motors get it at once.
func (r *Robot) Asked() *[2]float64 {
	if r.drive.controller == nil {
		return nil
	}
	asked := r.drive.asked
	return &asked
}

// TrainAmps are the currents through each train's motors together, A.
func (r *Robot) TrainAmps() [2]float64 {
	return [2]float64{r.drive.rollers[0].amps, r.drive.rollers[1].amps}
}

// WheelSpeeds are the true surface speeds of each train's first wheel, m/s; a train without wheels gives 0.
func (r *Robot) WheelSpeeds() [2]float64 {
	var out [2]float64
	for t := range out {
		if train := &r.drive.rollers[t]; len(train.wheels) > 0 {
			out[t] = train.speed * train.wheels[0].radius
		}
	}
	return out
}

// Slip is the greatest slip of a wheel along and across its rolling direction, m/s.
func (r *Robot) Slip() (along, across float64) { return r.drive.slip() }

// Heat is that of the warmer train's motors, see power.Heat.
func (r *Robot) Heat() float64 { return max(r.drive.lines[0].Heat(), r.drive.lines[1].Heat()) }

// Terminal is the battery's voltage under load, V.
func (r *Robot) Terminal() float64 { return r.battery.Terminal() }

// Battery gives the battery's state.
func (r *Robot) Battery() *power.Battery { return &r.battery }

// Mass with everything that the robot holds, kg.
func (r *Robot) Mass() float64 { return r.body.Mass() }

// act runs the battery, the mechanisms and the motors for a step.
func (r *Robot) act(dt float64) {
	r.roll(dt)
	if d := r.drive; d.controller != nil {
		d.command(r.battery.Open(), dt)
	}
	terminal := r.settle()
	for _, p := range r.parts {
		p.step(dt)
	}
	if !r.drive.resting() {
		r.body.Activate()
	} else if r.body.IsSleeping() {
		return
	}
	r.drive.power(terminal, dt)
}

// settle finds the battery's voltage under what all motors ask for. Those that brake or coast ask for nothing.
func (r *Robot) settle() float64 {
	r.loads = r.loads[:0]
	for t, volts := range r.drive.volts {
		if volts != 0 {
			r.loads = append(r.loads, power.Load{Line: &r.drive.lines[t], Want: volts,
				Speed: r.drive.rollers[t].motorSpeed()})
		}
	}
	for _, m := range r.motors {
		if l := m.load(); l.Want != 0 {
			r.loads = append(r.loads, l)
		}
	}
	return r.battery.Settle(r.loads)
}
