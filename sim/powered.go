package sim

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/power"
	"chalkfield/sim/robot"
)

// powered is a motor behind a gear that turns an inertia against friction: what drives intakes and conveyors.
type powered struct {
	robot   *Robot
	line    power.Line
	radius  float64 // m: of the roller or sprocket
	inertia float64 // kg m^2 at the output, rotors included
	volts   float64 // commanded
	applied float64 // V at the motor in the last step
	speed   float64 // rad/s at the output
}

// newPowered turns a roller or sprocket of a radius in m.
func newPowered(r *Robot, p robot.Powered, radius float64) powered {
	line := power.Geared(r.Spec.Motors[p.Motor], p.Count, p.Gear, p.Efficiency)
	line.Coasts = p.Coasts
	return powered{robot: r, line: line, radius: radius, inertia: p.Inertia + line.Inertia}
}

// turn moves the motor on by dt seconds against a friction torque (N m), see power.Line's Ahead.
func (p *powered) turn(dt, friction float64) {
	if p.volts == 0 && p.speed == 0 {
		p.applied = 0
		return
	}
	began := p.speed
	terminal := p.robot.battery.Terminal()
	p.applied = geom.Clamp(p.volts, -terminal, terminal)
	push, next := p.line.Ahead(p.applied, began, p.inertia, 0, friction, dt)
	p.speed = next
	if p.applied == 0 && math.Abs(p.speed) < 1e-3 {
		p.speed = 0
	}
	// N m s, by all frictions
	rubbed := float64((push.Steady-float64(push.Slope*p.speed))*dt) - float64(p.inertia*(p.speed-began))
	rubbed, held := push.Split(float64(rubbed*p.speed), p.speed, friction, dt)
	p.robot.ledger.part(p.line.Flow(push, p.speed, rubbed, held, dt), p.inertia, p.speed-began)
}

// taken is the current that the motor takes from the battery, A.
func (p *powered) taken() float64 {
	return power.FromBattery(p.line.Across(p.applied, p.speed), p.line.Amps(p.applied, p.speed),
		p.robot.battery.Terminal())
}

// load is the motor as the battery sees it.
func (p *powered) load() power.Load {
	return power.Load{Line: &p.line, Want: p.volts, Speed: p.speed}
}

// surface is the speed at the roller's surface, m/s.
func (p *powered) surface() float64 { return p.speed * p.radius }
