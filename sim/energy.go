package sim

import (
	"math"

	"chalkfield/internal/base/record"
	"chalkfield/sim/power"
)

// ledger books a robot's energy since the start, in J. Each element is booked as the solver moved it. An impulse on the
// chassis works at the mean of the speeds v before and after the step, which is exact, for (v1^2 - v0^2)/2 = (v1 -
// v0)(v1 + v0)/2. What acts on a train works at the speed w = w0 + c (w1 - w0) at which the solver takes the motors'
// current; beyond the kinetic energy that leaves
//
//	J (w1 - w0) w - J (w1^2 - w0^2)/2 = J (c - 1/2) (w1 - w0)^2 >= 0
//
// which is how the solver damps a light train: heat of its motors. So what the battery gave is what the rows say,
// whatever the step's length.
type ledger struct {
	asked      float64 // of this step: what the motors took at the battery's terminals
	taken      float64 // out of the battery's cells
	battery    float64 // lost in its resistance
	motors     float64 // heat of windings and of the motors' friction; what braking gives back
	gears      float64 // lost in gears and bearings
	rolling    float64 // rolling resistance
	slip       float64 // the tyres' creep and sliding
	chassis    float64 // the tyres' work on the chassis
	walls      float64 // what the chassis lost against walls
	mechanisms float64 // what the mechanisms' gears gave: to lift, to turn, against friction
}

// flow books what a group of motors took, and returns what its gears gave.
func (l *ledger) flow(f power.Flow) float64 {
	l.asked += f.In
	l.motors += f.Heat
	l.gears += f.Gears
	return f.Out
}

// part books a mechanism's motor, whose implicit step changed the speed of an inertia.
func (l *ledger) part(f power.Flow, inertia, change float64) {
	damped := float64(inertia * change * change / 2)
	l.motors += damped
	l.mechanisms += l.flow(f) - damped
}

// shareOf is the share of the first of two frictions in both, 0 if there is none.
func shareOf(first, second float64) float64 {
	if first == 0 {
		return 0
	}
	return first / (float64(first) + second)
}

// charge lets the battery give what a step's motors took.
func (r *Robot) charge() {
	given := r.battery.Take(r.ledger.asked)
	r.ledger.taken += given
	r.ledger.battery += given - r.ledger.asked
	r.ledger.asked = 0
}

// warm moves the heat of all motors on by a step.
func (r *Robot) warm(dt float64) {
	for _, l := range r.lines {
		l.Warm(dt)
	}
}

// book books the step's energy of the drive base.
func (d *driveline) book(l *ledger) {
	for i := range d.rollers {
		d.bookRoller(l, &d.rollers[i])
	}
	v, turn := d.own()
	x, y, w := float64((v.X+d.began.X)/2), float64((v.Y+d.began.Y)/2), (turn+d.beganTurn)/2
	before := l.chassis
	for i := range d.wheels {
		q := &d.wheels[i]
		along, across := x-float64(w*q.at.Y), y+float64(w*q.at.X)
		work := float64(q.p*along) + float64(q.q*across)
		l.chassis += work
		l.slip += float64(q.p*q.radius*q.on.at()) - work
	}
	if d.touched && d.walled { // else what is met may have moved
		gained := float64((float64((v.X-d.began.X)*x)+float64((v.Y-d.began.Y)*y))/d.massInv) +
			float64((turn-d.beganTurn)*w/d.inertiaInv)
		l.walls += l.chassis - before - gained
	}
}

// bookRoller books a train or a free wheel: its motors, and its friction by what each kind can do.
func (d *driveline) bookRoller(l *ledger, r *roller) {
	if r.backlash != nil {
		r.backlash.book(l)
	}
	at := r.at()
	rubbed := -float64(r.rub * at)
	if r.line == nil {
		l.rolling += rubbed
		return
	}
	held := -float64((r.rub - max(-r.most, min(r.most, r.rub))) * at)
	rubbed -= held
	own := float64(rubbed * shareOf(r.own, r.most-r.own))
	motors := float64(own * shareOf(r.flow.Drag, r.drag))
	if most := float64(r.flow.Drag * math.Abs(at) * d.dt); motors > most {
		motors = most // what breaking away takes beyond is the gears'
	}
	l.flow(r.line.Flow(&r.flow, at, motors, held, d.dt))
	l.motors += float64(r.inertia * (r.late - 0.5) * (r.speed - r.began) * (r.speed - r.began))
	l.gears += own - motors + float64(r.viscous*at*at*d.dt)
	l.rolling += rubbed - own
}

// at is the speed at which the step's forces worked, rad/s.
func (r *roller) at() float64 { return r.began + float64(r.late*(r.speed-r.began)) }

// kinetic is the energy of the robot's motion, its wheels and rotors included, in J.
func (r *Robot) kinetic() float64 {
	return r.travel() + r.drive.spin()
}

// travel is the energy of the chassis' motion, with all that it holds.
func (r *Robot) travel() float64 {
	v, w := r.body.Velocity(), r.body.AngularVelocity()
	return float64((float64(r.body.Mass()*(float64(v.X*v.X)+float64(v.Y*v.Y))) + float64(r.body.Moment()*w*w)) / 2)
}

// spin is that of wheels, gears and rotors.
func (d *driveline) spin() (sum float64) {
	for i := range d.rollers {
		r := &d.rollers[i]
		sum += float64(float64(r.inertia*r.speed*r.speed) / 2)
		if r.loose() {
			sum += float64(float64(r.backlash.rotors*r.backlash.speed*r.backlash.speed) / 2)
		}
	}
	return sum
}

// Energy is the balance since the start. What the tyres gave the chassis and it does not have, nor lost against walls
// where nothing else touched it or hung on it, went to what it pushed;
// that can be less than nothing, where another robot pushes it.
func (r *Robot) Energy() record.Energy {
	l := &r.ledger
	round := record.Round
	return record.Energy{
		Taken: round(l.taken), Battery: round(l.battery), Motors: round(l.motors), Gears: round(l.gears),
		Rolling: round(l.rolling), Slip: round(l.slip), Mechanisms: round(l.mechanisms),
		Walls: round(l.walls), Pushed: round(l.chassis - l.walls - r.travel()), Kinetic: round(r.kinetic()),
	}
}
