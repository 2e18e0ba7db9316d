package sim

import (
	"math"

	"chalkfield/sim/power"
)

// crossings are the steps in which motors cross their play in one of the world's: loose, a rotor is so light that it is
// there within some milliseconds.
const crossings = 8

// backlash is that of a train: motors and wheels are two inertias with a dead zone between them (Nordin & Gutman,
// Controlling mechanical systems with backlash: a survey, Automatica 38(10), 2002; from memory). Meshed, one pushes the
// other by the face of a tooth, and both turn as one. As soon as it would have to pull they part: the motors turn by
// themselves until they meet the same face or the other one. They meet without a bounce, so that
//
//	w = (Jm wm + Jw ww)/(Jm + Jw),  lost: Jm Jw/(Jm + Jw) (wm - ww)^2/2
//
// by the conservation of angular momentum (Meriam & Kraige, Dynamics: perfectly plastic impact; from memory). The drag
// of gears and bearings is the wheels', that of the motors theirs. Encoders sit on the motors.
type backlash struct {
	wide   float64 // rad at the wheel
	rotors float64 // kg m^2 there
	wheels float64 // kg m^2
	ahead  float64 // rad: motors before wheels, at most half of wide either way
	face   float64 // by which it is meshed: 1 the motors push forwards, -1 backwards, 0 loose
	speed  float64 // rad/s: of the motors, loose
	share  float64 // of the step's time in which the motors act on the wheels

	// J of this step: what the loose motors took, their heat, and what is lost in gears.
	taken, heat, gears float64
}

// loosely takes a train apart: it begins in the middle of its play.
func (r *roller) loosely(wide, rotors float64) {
	r.backlash = &backlash{wide: wide, rotors: rotors, wheels: r.inertia - rotors, share: 1}
	r.inertia = r.backlash.wheels
}

// loose reports whether a train's motors turn by themselves.
func (r *roller) loose() bool { return r.backlash != nil && r.backlash.face == 0 }

// motorSpeed is the speed of a train's motors, as seen at its wheels, rad/s.
func (r *roller) motorSpeed() float64 {
	if r.loose() {
		return r.backlash.speed
	}
	return r.speed
}

// cross lets loose motors turn for a step, or until they meet their wheels, which turn on as they are.
func (p *backlash) cross(r *roller, dt float64) {
	p.share = 1
	if p.face != 0 {
		return
	}
	h := dt / crossings
	for i := range crossings {
		push, next := r.line.Ahead(r.volts, p.speed, p.rotors, 0, 0, h)
		way := math.Copysign(1, next-r.speed)
		room, need := max(0, float64(p.wide/2)-float64(way*p.ahead)), math.Abs(next-r.speed)*h
		if need <= room {
			p.turn(r.line, push, next, h)
			p.ahead += float64(way * need)
			continue
		}
		part := room / need
		if part > 0 {
			push, next = r.line.Ahead(r.volts, p.speed, p.rotors, 0, 0, part*h)
			p.turn(r.line, push, next, part*h)
		}
		p.share = 1 - float64((float64(i)+part)/crossings)
		p.mesh(r, way)
		return
	}
}

// turn takes the loose motors to a speed in some seconds, under a push.
func (p *backlash) turn(line *power.Line, push *power.Push, next, seconds float64) {
	change := next - p.speed
	p.speed = next
	rubbed := float64((push.Steady-float64(push.Slope*next))*seconds) - float64(p.rotors*change)
	drag, held := push.Split(float64(rubbed*next), next, 0, seconds)
	f := line.Flow(push, next, drag, held, seconds)
	p.taken += f.In
	p.heat += f.Heat + float64(p.rotors*change*change/2)
	p.gears += f.Gears
}

// mesh lets motors and wheels meet.
func (p *backlash) mesh(r *roller, way float64) {
	both := p.rotors + p.wheels
	apart := p.speed - r.speed
	p.gears += float64(p.rotors * p.wheels / both * apart * apart / 2)
	r.speed += float64(p.rotors * apart / both)
	r.inertia = both
	p.face, p.ahead = way, way*p.wide/2
}

// part lets a meshed train part at the end of a step of dt seconds in which its motors would have had to pull: of what
// they gave, J (w1 - w0) stayed with the rotors.
func (p *backlash) part(r *roller, dt float64) {
	if p.face == 0 {
		return
	}
	rubbed := max(-r.most, min(r.most, r.rub))
	friction := float64(rubbed * shareOf(r.own, r.most-r.own) * shareOf(r.flow.Drag, r.drag))
	gave := float64((r.flow.Steady-float64(r.flow.Slope*r.at()))*dt) + friction - float64(p.rotors*(r.speed-r.began))
	if gave*p.face < 0 {
		p.face, p.speed, r.inertia = 0, r.speed, p.wheels
	}
}

// passes is what the wheels get of the motors' push: nothing of loose ones, and the step's share of such as have met
// them in it.
func (p *backlash) passes(push *power.Push) *power.Push {
	switch {
	case p.face == 0:
		return &power.Push{Loss: 1, From: math.Inf(-1), To: math.Inf(1)}
	case p.share == 1:
		return push
	}
	part := *push
	part.Steady, part.Slope = push.Steady*p.share, push.Slope*p.share
	part.Drag, part.Held = push.Drag*p.share, push.Held*p.share
	return &part
}

// spins reports whether the motors turn by themselves.
func (r *roller) spins() bool { return r.loose() && math.Abs(r.backlash.speed) > standing }

// book books what the loose motors took and what the meeting lost.
func (p *backlash) book(l *ledger) {
	l.asked += p.taken
	l.motors += p.heat
	l.gears += p.gears
	p.taken, p.heat, p.gears = 0, 0, 0
}
