package motion

import (
	"math"
	"testing"

	"chalkfield/internal/geom"
)

// machine is the test's own robot: two motor lines, wheels that may slip, a rigid body. It shares no code with the
// motions and none with sim.
type machine struct {
	mass, inertia, track float64 // kg, kg m^2, m
	push, back           float64 // train force = push V - back v_wheel: N/V, N s/m
	wheel                float64 // kg: inertia of a train's wheels and motors at the rim
	friction, scrub      float64 // N per train, N m
	grip, sideGrip       float64 // m/s^2
	nominal, battery     float64 // V: of the model; what there is
	honest               bool    // Battery reports battery; else nominal
	wrong                func(*Model)
	wall                 float64 // m: no x beyond it

	pose       geom.Pose
	vx, vy, w  float64 // body frame
	left       float64 // wheel speeds
	right      float64
	uLeft      float64
	uRight     float64
	given      Model
	deaf       bool // belief stands still (wheels in the air would do it)
	travelled  float64
	worstVolts float64
}

// typical is a machine of the size that the trade builds: 6.5 kg, four motors, 1.3 m/s free speed.
func typical() *machine {
	return newMachine(6.5, 0.30, 1.3, 110, 0.8)
}

// newMachine makes a machine from its mass (kg), track (m), free speed (m/s), stall force of both trains (N) at 12 V and
// friction coefficient of the tyres.
func newMachine(mass, track, free, stall, mu float64) *machine {
	m := &machine{
		mass: mass, inertia: mass * (track*track + 0.35*0.35) / 12, track: track, wheel: 0.04 * mass,
		nominal: 12, battery: 12.4, honest: true, wall: math.Inf(1), grip: mu * 9.81, sideGrip: 0.8 * mu * 9.81,
	}
	m.push = stall / 2 / m.nominal
	m.back = m.push * m.nominal / free
	m.friction = 0.03 * stall / 2
	m.scrub = 0.12 * mu * 9.81 * mass * track / 2
	return m
}

func (m *machine) Model() Model {
	model := Model{
		Mass: m.mass, Inertia: m.inertia, Track: m.track, Volts: m.nominal, FreeSpeed: m.push * m.nominal / m.back,
		KV: m.back / m.push, KA: (m.mass/2 + m.wheel) / m.push, KS: m.friction / m.push,
		TurnKV: m.back / m.push * m.track / 2, TurnKA: (m.inertia/m.track + m.wheel*m.track/2) / m.push,
		TurnKS: m.scrub / m.track / m.push, Grip: m.grip, SideGrip: m.sideGrip, Period: tick,
	}
	if m.wrong != nil {
		m.wrong(&model)
	}
	return model
}

func (m *machine) Belief() geom.Pose {
	return geom.Pose{X: m.pose.X, Y: m.pose.Y, Heading: geom.WrapAngle(m.pose.Heading)}
}
func (m *machine) BeliefSpeed() (along, turn float64) { return m.vx, m.w }
func (m *machine) WheelSpeeds() (left, right float64) { return m.left, m.right }
func (m *machine) DriveVolts(left, right float64)     { m.uLeft, m.uRight = left, right }
func (m *machine) Battery() float64 {
	if m.honest {
		return m.battery
	}
	return m.nominal
}

const (
	tick    = 0.01
	substep = 0.0005
	creep   = 0.03 // m/s
)

// run lets the machine live for one tick.
func (m *machine) run() {
	for range int(math.Round(tick / substep)) {
		m.substep(substep)
	}
}

func (m *machine) substep(dt float64) {
	normal := m.mass * m.grip / 2
	tyre := func(u float64, wheel *float64, ground float64) float64 {
		u = geom.Clamp(u, -m.battery, m.battery)
		grip := normal * geom.Clamp((*wheel-ground)/creep, -1, 1)
		drag := m.friction * geom.Clamp(*wheel/0.005, -1, 1)
		*wheel += (m.push*u - m.back**wheel - drag - grip) / m.wheel * dt
		return grip
	}
	half := m.track / 2
	l := tyre(m.uLeft, &m.left, m.vx-m.w*half)
	r := tyre(m.uRight, &m.right, m.vx+m.w*half)
	side := -m.mass * m.sideGrip * geom.Clamp(m.vy/creep, -1, 1)
	scrub := m.scrub * geom.Clamp(m.w/0.05, -1, 1)
	vx, vy := m.vx, m.vy
	m.vx += ((l+r)/m.mass + m.w*vy) * dt
	m.vy += (side/m.mass - m.w*vx) * dt
	m.w += ((r-l)*half - scrub) / m.inertia * dt
	at := m.pose.Out(geom.Vec{X: m.vx * dt, Y: m.vy * dt})
	m.travelled += math.Abs(m.vx) * dt
	if at.X > m.wall {
		at.X, m.vx, m.vy = m.wall, 0, 0
	}
	m.pose = geom.Pose{X: at.X, Y: at.Y, Heading: m.pose.Heading + m.w*dt}
}

// drive runs a motion to its end and returns the way driven, one pose a tick.
func drive(t testing.TB, m *machine, motion *Motion, err error) []geom.Pose {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	if err := motion.Start(m); err != nil {
		t.Fatal(err)
	}
	way := []geom.Pose{m.pose}
	for i := 0; !motion.Done(); i++ {
		if i > 60_000 {
			t.Fatalf("%s has no end after %d ticks", motion.Name(), i)
		}
		motion.Update(tick)
		m.run()
		way = append(way, m.pose)
	}
	return way
}
