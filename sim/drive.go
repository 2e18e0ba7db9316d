package sim

import (
	"math"

	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/sim/power"
	"chalkfield/sim/robot"
)

// Constants of the drive base.
const (
	// rollingFor is the speed of a wheel (m/s) from which on its tyre creeps as the file says. Below it the creep goes
	// to nothing in proportion, as a rolling tyre's slip does: a standing tyre does not creep at all.
	rollingFor = 0.5
	// transferTime smooths the load transfer, s: a chassis takes about that long to pitch.
	transferTime = 0.03
	// lightest is the least inertia of a train or wheel, as mass at the rim in kg: a file may say nothing of it.
	lightest = 1e-3
	// rounds is the most rounds of the tyre solver in a step without contacts; it stops when a round changes the robot's
	// velocity by less than settled (m/s, or rad/s), in a longer step than stepLength by the square of its length more: as
	// the error of the step itself. What is left is done in the next step, which starts from there.
	rounds  = 60
	settled = 1e-5
	// turning is the change of a sliding train's speed (rad/s) by friction up to which a round has settled it.
	turning = 0.01
	// standing is the speed (rad/s) below which a train must break away, as at rest.
	standing = 0.02
	// relaxing is the share of its strain that a drive at rest keeps from step to step while something touches it: one
	// that stopped as it pressed against that stands loose after some steps, and can sleep. A pull through a joint stays,
	// so that it would be solved anew in each step.
	relaxing = 0.9
)

// wheel is one wheel's state.
type wheel struct {
	at            geom.Vec // from the centre of mass, robot frame, m
	radius        float64
	along, across float64         // friction coefficients on this floor
	rolling       float64         // of rolling resistance
	sticky        *staticFriction // nil: it holds no more where it does not slide
	on            *roller         // what it turns with

	load  float64 // N
	creep float64 // m/s: of the tyre at this speed
	tyre
}

// roller is what turns as one: a train of wheels with its motors, or a free wheel.
type roller struct {
	line             *power.Line // nil: free
	backlash         *backlash   // nil: none
	wheels           []*wheel
	inertia          float64    // kg m^2 of wheels and rotors
	drag             float64    // N m: Coulomb friction of gears and bearings
	viscous          float64    // N m s: friction that grows with the speed
	speed            float64    // rad/s
	began            float64    // rad/s: as the step began
	volts            float64    // V at the motors
	amps             float64    // A through them
	effectiveInertia float64    // kg m^2: the inertia with the motor's damping over the step
	lag              float64    // 1/effectiveInertia
	flow             power.Push // of the motors in this step
	turns            int        // how often it took another piece of their line in this step
	fitting          fitting
	late             float64 // where in the step the motors' speed is taken: 0 its start, 1 its end
	own              float64 // N m s: the limit of the train's own friction, without its wheels'
	push             float64 // N m s of this step: the motors'
	rub              float64 // N m s of this step: friction
	most             float64 // N m s: its limit
	held             float64 // N m s: what it has beyond most, in the direction in which it pushes
	low, high        float64 // N m s: between which both keep it
	whole            float64 // kg m^2: effectiveInertia with what its wheels carry along when they grip
	pass             float64 // 1/m: what each of them passes to the floor of an impulse on the roller
}

// driveline is the drive base: motors, trains, their friction and tyres, as one constraint of the engine's solver. The
// tyres' impulses act on the robot's body and on the trains; the engine integrates the body.
type driveline struct {
	body    *cp.Body
	creep   float64
	away    float64 // friction of a train that stands over that of one that turns
	height  float64 // m: of the centre of mass
	lines   [2]power.Line
	rollers []roller // left train, right train, then each free wheel
	wheels  []wheel
	bearing []*wheel // those that bear weight in this step
	loads   wheelLoads
	volts   [2]float64 // commanded, or what the controller makes of it
	sticks  bool       // there are tyres that hold more where they do not slide

	controller *controller // nil: the motors get what is commanded
	asked      [2]float64  // V: commanded to the controller

	accel      geom.Vec // m/s^2, robot frame, smoothed: by the tyres
	dt         float64
	rest       float64 // m/s, rad/s: change of a round at which this step is settled
	sin, cos   float64
	touched    bool
	walled     bool // all that touches the robot in this step, and holds it, stands still
	done       bool
	turned     bool              // in this round friction turned a train that slides on
	stepped    bool              // the engine has this step solved
	meet       func(*cp.Arbiter) // called for each contact of the robot; sets touched
	impacts    impacts
	began      cp.Vector // velocity in the robot's frame before the step, m/s
	beganTurn  float64   // rad/s
	left       cp.Vector // velocity in the robot's frame as the last round began, or as the tyres left it
	leftTurn   float64
	gave       cp.Vector // left in the field's frame
	massInv    float64
	inertiaInv float64
}

// newDriveline builds the drive base of a robot on a floor of the given grip; motors and radius are drawn factors per
// train. meet is called for each contact of the robot.
func newDriveline(body *cp.Body, meet func(*cp.Arbiter), spec *robot.Robot, grip float64, motors,
	radius [2]float64) *driveline {
	d := &driveline{body: body, meet: meet, creep: spec.Drive.Creep, away: math.Max(1, spec.Drive.Breakaway),
		height: spec.Chassis.CentreHeight, controller: newController(spec.Drive)}
	motor := spec.Motors[spec.Drive.Motor]
	d.rollers = make([]roller, 2, 2+len(spec.Wheels))
	for t := range d.lines {
		d.lines[t] = power.Geared(motor, spec.Drive.PerSide, spec.Drive.Gear, spec.Drive.Efficiency).Scaled(
			motors[t] * spec.Drive.Push(robot.Train(t)))
		d.lines[t].Coasts = spec.Drive.Coasts
		d.rollers[t] = roller{line: &d.lines[t], inertia: d.lines[t].Inertia, drag: spec.Drive.Drag,
			viscous: spec.Drive.Viscous}
	}
	for _, w := range spec.Wheels {
		index, r := int(w.Train), w.Radius
		if w.Train == robot.Free {
			index = len(d.rollers)
			d.rollers = append(d.rollers, roller{})
		} else {
			r *= radius[index]
		}
		d.rollers[index].inertia += math.Max(w.Inertia, lightest*r*r)
		d.wheels = append(d.wheels, wheel{
			radius: r, on: &d.rollers[index],
			along: math.Max(w.Along*grip, 1e-6), across: math.Max(w.Across*grip, 1e-6), rolling: w.Rolling,
		})
		if w.Static > 1 {
			last := &d.wheels[len(d.wheels)-1]
			last.sticky = &staticFriction{last.along, last.across, w.Static}
			d.sticks = true
		}
	}
	for i := range d.wheels {
		w := &d.wheels[i]
		w.on.wheels = append(w.on.wheels, w)
	}
	if wide := spec.Drive.Backlash; wide > 0 {
		for t := range d.lines {
			d.rollers[t].loosely(wide, d.lines[t].Inertia)
		}
	}
	return d
}

// centre places the wheels about a new centre of mass.
func (d *driveline) centre(spec []robot.Wheel, centre geom.Vec) {
	at := make([]geom.Vec, len(spec))
	for i, w := range spec {
		at[i] = geom.Vec{X: w.At.X - centre.X, Y: w.At.Y - centre.Y}
		d.wheels[i].at = at[i]
	}
	d.loads = newWheelLoads(at)
}

// ask commands the trains, V.
func (d *driveline) ask(volts [2]float64) {
	if d.controller == nil {
		d.volts = volts
	}
	d.asked = volts
}

// command gives the trains what the controller makes of what is asked, for a step; it has no more than most volts.
func (d *driveline) command(most, dt float64) {
	var off [2]float64
	d.volts, off = d.controller.give(d.asked, most, dt)
	for t, share := range off {
		if d.lines[t].Coasts && d.volts[t] != 0 {
			d.volts[t] += float64(share * d.lines[t].Ke * d.rollers[t].motorSpeed())
		}
	}
}

// disable takes the volts off at once, whatever the controller.
func (d *driveline) disable() {
	d.asked, d.volts = [2]float64{}, [2]float64{}
	if d.controller != nil {
		d.controller.cut()
	}
}

// resting reports whether the trains stand and are not asked to turn: then the engine may let the robot sleep like any
// other body, until a command or a touch wakes it.
func (d *driveline) resting() bool {
	for t, volts := range d.volts {
		if volts != 0 || math.Abs(d.rollers[t].speed*d.wheels[0].radius) > idleSpeed || d.rollers[t].spins() {
			return false
		}
	}
	return true
}

// power turns the motors for a step at the battery's terminal voltage: the trains' speeds as they would be without the
// floor, and their lag. The line's slope and the viscous friction act as damping B on a train of inertia J:
//
//	J (w' - w)/dt = T - B (c w' + (1 - c) w),  c = 1/(1 - e^-z) - 1/z,  z = B dt/J
//
// which is exact for a train by itself whatever the step (exponential fitting; c = 1/2 is the trapezoid, 1 the implicit
// Euler rule). Where a train is about to leave the straight piece of its motors' line, or to turn round, the step is
// solved with the piece where it will end, and c = 1: what acts on it is what acts there. What Coulomb friction may do
// is left to the solver.
func (d *driveline) power(terminal, dt float64) {
	for t := range d.lines {
		r := &d.rollers[t]
		r.volts = geom.Clamp(d.volts[t], -terminal, terminal)
		if r.backlash != nil {
			r.backlash.cross(r, dt)
		}
		r.began = r.speed
		carried := max(0, r.whole-r.effectiveInertia)
		if r.slips() {
			carried = 0
		}
		friction := r.drag
		if d.dt > 0 {
			friction += (r.most - r.own) / d.dt
		}
		push, next := r.line.Ahead(r.volts, r.speed, r.inertia+carried, 0, friction, dt)
		if r.backlash != nil {
			push = r.backlash.passes(push)
		}
		c := 1.0
		if r.line.Holds(push, r.speed) && next*r.speed >= 0 {
			c = r.fitting.at((push.Slope + r.viscous) * dt / r.inertia)
		}
		before := r.push
		r.take(push, c, dt)
		r.turns = 0
		if math.Abs(r.speed) < standing {
			r.own *= d.away
			r.rub += before - float64(r.push*d.dt/dt) // what holds it holds the motors' change as well
		}
		r.most = r.own
		r.speed += float64(r.push * r.lag)
	}
	for i := len(d.lines); i < len(d.rollers); i++ {
		r := &d.rollers[i]
		r.began, r.effectiveInertia, r.lag, r.most = r.speed, r.inertia, 1/r.inertia, 0
		r.late = 0.5
	}
}

// fitting is the c of power. It is kept, for a train has the same z for many steps.
type fitting struct{ z, c float64 }

func (f *fitting) at(z float64) float64 {
	switch {
	case z <= 1e-3:
		return 0.5 + z/12
	case z != f.z:
		f.z, f.c = z, 1/-portable.Expm1(-z)-1/z
	}
	return f.c
}

// take has a train's motors push by a piece of their line in this step, c late in it.
func (r *roller) take(push *power.Push, c, dt float64) {
	slope := push.Slope + r.viscous
	r.flow, r.late = *push, c
	r.effectiveInertia = r.inertia + float64(c*slope*dt)
	r.lag = 1 / r.effectiveInertia
	r.own = float64((push.Drag + r.drag) * dt)
	r.held = float64(push.Held * dt)
	r.push = float64((push.Steady - float64(slope*r.began)) * dt)
}

// slips reports whether a wheel of it slid in the last round.
func (r *roller) slips() bool {
	for _, w := range r.wheels {
		if w.over > 0 {
			return true
		}
	}
	return false
}

// straighten reports whether the trains ended on the pieces of their motors' lines with which the step was solved. One
// that did not takes the piece beside it, and the step has to be solved on: else a light train would overshoot at a
// current limit, and a gear would lose by the wrong way of the power.
func (d *driveline) straighten() (all bool) {
	all = true
	for t := range d.lines {
		r := &d.rollers[t]
		at := r.at()
		if r.line.Holds(&r.flow, at) || r.turns == power.Pieces {
			continue
		}
		all = false
		r.turns++
		gave := float64(r.effectiveInertia*(r.speed-r.began)) - r.push // by tyres and friction
		r.most -= r.own
		push := r.line.Beside(&r.flow, r.volts, at)
		if r.backlash != nil {
			push = r.backlash.passes(push)
		}
		r.take(push, 1, d.dt)
		if math.Abs(r.began) < standing {
			r.own *= d.away
		}
		r.most += r.own
		r.speed = r.began + float64((r.push+gave)*r.lag)
		for _, w := range r.wheels {
			if w.load > 0 {
				d.set(w)
			}
		}
	}
	if !all {
		d.couple()
	}
	return all
}

// within is an impulse of friction kept within its limits.
func (r *roller) within(rub float64) float64 { return max(r.low, min(r.high, rub)) }

// PreStep prepares a step: wheel loads, limits and effective masses.
func (d *driveline) PreStep(dt float64) {
	d.dt = dt
	d.rest = settled * max(1, (dt/stepLength)*(dt/stepLength))
	rot := d.body.Rotation()
	d.cos, d.sin = rot.X, rot.Y
	m := d.body.Mass()
	d.massInv, d.inertiaInv = 1/m, 1/d.body.Moment()
	d.loads.share(d.wheels, m*Gravity, -m*d.accel.X*d.height, -m*d.accel.Y*d.height)
	v, w := d.own()
	d.began, d.beganTurn, d.stepped = v, w, true
	d.bearing = d.bearing[:0]
	if d.sticks {
		d.stick(v, w)
	}
	for i := range d.wheels {
		d.prepare(&d.wheels[i], v, w)
	}
	d.couple()
	d.touched, d.walled, d.done = false, true, false
	d.impacts.look(d.body.Velocity())
	d.body.EachArbiter(d.meet)
}

// prepare sets a wheel's limits and effective masses, and starts it from the last step's impulses. The creep is that of
// the speeds with which the step began: by now the motors have spun the train on as if there were no floor, the more
// the longer the step.
func (d *driveline) prepare(w *wheel, v cp.Vector, turn float64) {
	if w.load == 0 {
		w.tyre = tyre{}
		return
	}
	d.bearing = append(d.bearing, w)
	r := w.on
	r.most += float64(w.rolling * w.load * w.radius * d.dt)
	x, y := v.X-float64(turn*w.at.Y), v.Y+float64(turn*w.at.X)
	speed, rim := math.Sqrt(float64(x*x)+float64(y*y)), math.Abs(r.began*w.radius)
	if rim > speed {
		speed = rim
	}
	w.creep = d.creep
	if speed < rollingFor {
		w.creep *= speed / rollingFor
	}
	d.set(w)
}

// set gives a wheel's tyre its limits and effective masses as its roller now is.
func (d *driveline) set(w *wheel) {
	lag := w.on.lag
	w.tyre.set(w.along*w.load*d.dt, w.across*w.load*d.dt,
		d.massInv+float64(w.at.Y*w.at.Y*d.inertiaInv)+float64(w.radius*w.radius*lag),
		d.massInv+float64(w.at.X*w.at.X*d.inertiaInv), w.creep)
}

// own is the velocity of the centre of mass in the robot's frame, and the turning rate.
func (d *driveline) own() (cp.Vector, float64) {
	v := d.body.Velocity()
	return cp.Vector{X: float64(d.cos*v.X) + float64(d.sin*v.Y), Y: float64(d.cos*v.Y) - float64(d.sin*v.X)},
		d.body.AngularVelocity()
}

// ApplyCachedImpulse starts from the last step's impulses.
func (d *driveline) ApplyCachedImpulse(scale float64) {
	if d.touched && d.resting() {
		scale *= relaxing
	}
	for i := range d.rollers {
		r := &d.rollers[i]
		r.rub = r.within(r.rub * scale)
		r.speed += float64(r.rub * r.lag)
	}
	v, turn := d.own()
	for _, w := range d.bearing {
		w.p, w.q = w.p*scale, w.q*scale
		v, turn = d.roll(w, v, turn, w.p, w.q)
	}
	d.give(v, turn)
}

// ApplyImpulse improves the tyres' impulses: to the end when nothing touches the robot, else by one round, in turn with
// the contacts, as long as these or the round before change anything.
func (d *driveline) ApplyImpulse(float64) {
	if d.done && d.body.Velocity() == d.gave && d.body.AngularVelocity() == d.leftTurn {
		return
	}
	v, turn := d.own()
	if d.done && d.near(v, turn) {
		return
	}
	for range rounds {
		d.left, d.leftTurn, d.turned = v, turn, false
		v, turn = d.round(v, turn)
		d.done = d.near(v, turn) && !d.turned && d.straighten()
		if d.done || d.touched {
			break
		}
	}
	d.left, d.leftTurn = v, turn
	d.give(v, turn)
}

// hold lets the friction of a roller answer to its speed: the impulse that stops it, or what friction has. As a
// constraint, solved in turn with the tyres, it never turns a motion round.
//
// A roller is light and the robot heavy, so that to stop the one and then let the tyres stop the other would take many
// rounds. While its wheels grip, friction stops both at once: the tyres pass on what keeps their slip as it is.
func (d *driveline) hold(r *roller, v cp.Vector, turn float64) (cp.Vector, float64) {
	if r.speed > 0 && r.rub == r.low || r.speed < 0 && r.rub == r.high {
		return v, turn // all that friction has brakes already
	}
	effectiveInertia, pass := r.whole, r.pass
	if r.slips() {
		effectiveInertia, pass = r.effectiveInertia, 0
	}
	rub := r.within(r.rub - float64(r.speed*effectiveInertia))
	change := rub - r.rub
	if change == 0 {
		return v, turn
	}
	for _, w := range r.wheels { // no tyre passes on more than its grip
		if pass > 0 && math.Abs(w.p+float64(change*pass)) > w.a {
			rub, pass = r.within(r.rub-float64(r.speed*r.effectiveInertia)), 0
			change = rub - r.rub
		}
	}
	r.rub = rub
	r.speed += float64(change * r.lag)
	if pass == 0 && math.Abs(change*r.lag) > turning {
		d.turned = true
	}
	for _, w := range r.wheels {
		if w.load > 0 && pass > 0 {
			p := change * pass
			w.p += float64(p)
			v, turn = d.roll(w, v, turn, p, 0)
		}
	}
	return v, turn
}

// couple finds what stopping each roller takes when its wheels grip: n wheels of radius r on the floor, which a unit of
// impulse moves by K = 1/m + y^2/I, answer to their slip when each passes r/(J n (K + r^2/J)), J the effective inertia,
// K with the softness of one tyre spread over the n. Without it the tyres would undo in each round what friction did in
// the one before. With the tyres' rolling resistance known, the limits of friction are too.
func (d *driveline) couple() {
	for i := range d.rollers {
		r := &d.rollers[i]
		var n, k, soft, radius float64
		for _, w := range r.wheels {
			if w.load > 0 {
				n++
				k += d.massInv + float64(w.at.Y*w.at.Y*d.inertiaInv)
				soft += w.softP
				radius = w.radius
			}
		}
		r.low, r.high = min(0, r.held)-r.most, max(0, r.held)+r.most
		r.whole, r.pass = r.effectiveInertia, 0
		if n > 0 {
			k = (k + soft/n) / n
			r.whole += float64(radius * radius / k)
			r.pass = radius * r.lag / (n * (k + float64(radius*radius*r.lag)))
		}
	}
}

// near reports whether a velocity is the one that was left, to within the rest.
func (d *driveline) near(v cp.Vector, turn float64) bool {
	return math.Abs(v.X-d.left.X)+math.Abs(v.Y-d.left.Y)+math.Abs(turn-d.leftTurn) < d.rest
}

// round lets each tyre and then the friction of each train in turn answer to its slip or speed, and returns the robot's
// new velocity.
func (d *driveline) round(v cp.Vector, turn float64) (cp.Vector, float64) {
	for _, w := range d.bearing {
		p, q := w.stop(v.X-float64(turn*w.at.Y)-float64(w.on.speed*w.radius), v.Y+float64(turn*w.at.X))
		if w.holds(p, q) {
			w.over = 0
		} else {
			p, q = w.slide(p, q)
		}
		dp, dq := p-w.p, q-w.q
		w.p, w.q = p, q
		v, turn = d.roll(w, v, turn, dp, dq)
	}
	for i := range d.rollers {
		v, turn = d.hold(&d.rollers[i], v, turn)
	}
	return v, turn
}

// roll gives a tyre's impulse to its train, and to the velocity v, turn of the robot, which it returns.
func (d *driveline) roll(w *wheel, v cp.Vector, turn, p, q float64) (cp.Vector, float64) {
	r := w.on
	r.speed -= float64(p * w.radius * r.lag)
	v.X += float64(p * d.massInv)
	v.Y += float64(q * d.massInv)
	return v, turn + float64((float64(w.at.X*q)-float64(w.at.Y*p))*d.inertiaInv)
}

// give hands the engine the velocity that the tyres' impulses lead to. To do so wakes the body, so that it is not done
// when there is nothing to see: from rest to rest.
func (d *driveline) give(v cp.Vector, turn float64) {
	if was := d.body.Velocity(); restful(v, turn) && restful(was, d.body.AngularVelocity()) {
		return
	}
	d.gave = cp.Vector{X: float64(d.cos*v.X) - float64(d.sin*v.Y), Y: float64(d.sin*v.X) + float64(d.cos*v.Y)}
	d.body.SetMotion(d.gave.X, d.gave.Y, turn)
}

func restful(v cp.Vector, turn float64) bool {
	const least = 1e-6 // m/s, rad/s
	return math.Abs(v.X)+math.Abs(v.Y)+math.Abs(turn) < least
}

// GetImpulse is the tyres' impulse along, as the engine's interface wants it.
func (d *driveline) GetImpulse() float64 {
	var sum float64
	for i := range d.wheels {
		sum += d.wheels[i].p
	}
	return sum
}

// finish reads the results of a step: currents, and the acceleration that shifts load in the next. The energy
// goes into the ledger.
func (d *driveline) finish(l *ledger) {
	if d.stepped {
		d.book(l)
	}
	d.stepped = false
	for t := range d.lines {
		r := &d.rollers[t]
		speed := r.speed
		if r.backlash != nil {
			r.backlash.part(r, d.dt)
			speed = r.motorSpeed()
		}
		r.amps = r.line.Amps(r.volts, speed)
	}
	var force geom.Vec
	for i := range d.wheels {
		w := &d.wheels[i]
		force.X += w.p
		force.Y += w.q
	}
	share := d.dt / (transferTime + d.dt)
	d.accel.X += float64(share * (force.X*d.massInv/d.dt - d.accel.X))
	d.accel.Y += float64(share * (force.Y*d.massInv/d.dt - d.accel.Y))
}

// slip is the greatest slip speed of a wheel along and across its rolling direction, as the last step left it, m/s.
func (d *driveline) slip() (along, across float64) {
	v, turn := d.own()
	for i := range d.wheels {
		w := &d.wheels[i]
		along = max(along, math.Abs(v.X-float64(turn*w.at.Y)-float64(w.on.speed*w.radius)))
		across = max(across, math.Abs(v.Y+float64(turn*w.at.X)))
	}
	return along, across
}
