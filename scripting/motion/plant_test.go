package motion

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
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
	limit                float64 // V beyond the back-EMF at which the current is limited; 0: it is not
	honest               bool    // Battery reports battery; else nominal
	wrong                func(*robot.Model)
	wall                 float64 // m: no x beyond it
	lag                  int     // ticks by which belief and its speeds are late
	late                 int     // ticks by which the motors have their volts late
	slew                 float64 // V/s by which these change at most; 0: no limit
	band                 float64 // V: less is 0 V
	ahead                float64 // m: the point that poses speak of lies this far before the axle
	noise                float64 // m/s, rad/s, m and rad x 0.01: standard deviation of what is measured

	pose        geom.Pose
	vx, vy, w   float64 // body frame, m/s, rad/s
	left, right float64 // m/s: wheels
	uLeft       float64 // V
	uRight      float64
	volts       [2]float64   // V at the motors
	asked       [][2]float64 // V, one a tick
	past        []snapshot   // one a tick
	random      *rand.Rand
}

// snapshot is what the machine measured at a tick.
type snapshot struct {
	pose        geom.Pose
	along, turn float64
	left, right float64
}

// typical is a machine of the size that the trade builds: 6.5 kg, four motors, 1.3 m/s free speed.
func typical() *machine {
	return newMachine(6.5, 0.30, 1.3, 110, 0.8)
}

// newMachine makes a machine from its mass (kg), track (m), free speed (m/s), stall force of both trains (N) at 12 V
// and friction coefficient of the tyres.
func newMachine(mass, track, free, stall, mu float64) *machine {
	m := &machine{
		mass: mass, inertia: mass * (track*track + 0.35*0.35) / 12, track: track, wheel: 0.04 * mass,
		random: rand.New(rand.NewPCG(1, 2)), nominal: 12, battery: 12.4, honest: true, wall: math.Inf(1), grip: mu * 9.81,
		sideGrip: 0.8 * mu * 9.81,
	}
	m.push = stall / 2 / m.nominal
	m.back = m.push * m.nominal / free
	m.friction = 0.03 * stall / 2
	m.scrub = 0.12 * mu * 9.81 * mass * track / 2
	return m
}

func (m *machine) Model() robot.Model {
	model := robot.Model{
		Mass: m.mass, Inertia: m.inertia, Track: m.track, Volts: m.nominal, FreeSpeed: m.push * m.nominal / m.back,
		KV: m.back / m.push, KA: (m.mass/2 + m.wheel) / m.push, KS: m.friction / m.push,
		TurnKV: m.back / m.push * m.track / 2, TurnKA: (m.inertia/m.track + m.wheel*m.track/2) / m.push,
		TurnKS: m.scrub / m.track / m.push, Grip: m.grip, SideGrip: m.sideGrip, Period: tick, Limit: m.limit,
		Delay: float64(m.late) * tick, Slew: m.slew, DeadBand: m.band,
	}
	if m.wrong != nil {
		m.wrong(&model)
	}
	return model
}

// seen is the newest measurement that has arrived.
func (m *machine) seen() snapshot {
	if len(m.past) == 0 {
		return m.measure()
	}
	return m.past[max(0, len(m.past)-1-m.lag)]
}

// at is the pose of the machine's own point.
func (m *machine) at() geom.Pose { return m.pose.Compose(geom.Pose{X: m.ahead}) }

func (m *machine) measure() snapshot {
	s := snapshot{m.at(), m.vx, m.w, m.left, m.right}
	if m.noise > 0 {
		s.pose.X += 0.01 * m.noise * m.random.NormFloat64()
		s.pose.Y += 0.01 * m.noise * m.random.NormFloat64()
		s.pose.Heading += 0.01 * m.noise * m.random.NormFloat64()
		for _, x := range []*float64{&s.along, &s.turn, &s.left, &s.right} {
			*x += m.noise * m.random.NormFloat64()
		}
	}
	s.pose.Heading = geom.WrapAngle(s.pose.Heading)
	return s
}

func (m *machine) Belief() geom.Pose                          { return m.seen().pose }
func (m *machine) BeliefSpeed() (along, turn float64)         { s := m.seen(); return s.along, s.turn }
func (m *machine) MeasuredWheelSpeeds() (left, right float64) { s := m.seen(); return s.left, s.right }
func (m *machine) SetDriveVolts(left, right float64)          { m.uLeft, m.uRight = left, right }
func (m *machine) Terminal() float64 {
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
	m.asked = append(m.asked, [2]float64{m.uLeft, m.uRight})
	arrived := m.asked[max(0, len(m.asked)-1-m.late)]
	if len(m.asked) <= m.late {
		arrived = [2]float64{}
	}
	for range int(math.Round(tick / substep)) {
		m.obey(&m.volts[0], arrived[0])
		m.obey(&m.volts[1], arrived[1])
		m.substep(substep)
	}
	m.past = append(m.past, m.measure())
}

// obey brings a side's volts on by a substep.
func (m *machine) obey(volts *float64, want float64) {
	if math.Abs(want) < m.band {
		want = 0
	}
	if most := m.slew * substep; m.slew > 0 && math.Abs(want-*volts) > most {
		want = *volts + math.Copysign(most, want-*volts)
	}
	*volts = want
}

func (m *machine) substep(dt float64) {
	normal := m.mass * m.grip / 2
	tyre := func(u float64, wheel *float64, ground float64) float64 {
		u = geom.Clamp(u, -m.battery, m.battery)
		grip := normal * geom.Clamp((*wheel-ground)/creep, -1, 1)
		drag := m.friction * geom.Clamp(*wheel/0.005, -1, 1)
		force := m.push*u - m.back**wheel
		if m.limit > 0 {
			force = geom.Clamp(force, -m.push*m.limit, m.push*m.limit)
		}
		*wheel += (force - drag - grip) / m.wheel * dt
		return grip
	}
	half := m.track / 2
	l := tyre(m.volts[0], &m.left, m.vx-m.w*half)
	r := tyre(m.volts[1], &m.right, m.vx+m.w*half)
	side := -m.mass * m.sideGrip * geom.Clamp(m.vy/creep, -1, 1)
	scrub := m.scrub * geom.Clamp(m.w/0.05, -1, 1)
	vx, vy := m.vx, m.vy
	m.vx += ((l+r)/m.mass + m.w*vy) * dt
	m.vy += (side/m.mass - m.w*vx) * dt
	m.w += ((r-l)*half - scrub) / m.inertia * dt
	at := m.pose.ToWorld(geom.Vec{X: m.vx * dt, Y: m.vy * dt})
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
	way := []geom.Pose{m.at()}
	for i := 0; !motion.Done(); i++ {
		if i > 60_000 {
			t.Fatalf("%s has no end after %d ticks", motion.Name(), i)
		}
		motion.Update(tick)
		m.run()
		way = append(way, m.at())
	}
	return way
}

// drawMachine draws a machine of the trade's range: 2 to 15 kg, 0.2 to 0.45 m track, 0.5 to 2.2 m/s free speed, motors
// from a weak to a strong drive, of which scrubbing in a turn takes at most 40 % of the voltage.
func drawMachine(t *rapid.T) *machine {
	mass := rapid.Float64Range(2, 15).Draw(t, "mass")
	m := newMachine(mass, rapid.Float64Range(0.2, 0.45).Draw(t, "track"),
		rapid.Float64Range(0.5, 2.2).Draw(t, "free speed"),
		mass*rapid.Float64Range(5, 20).Draw(t, "stall force per mass"), rapid.Float64Range(0.6, 1.1).Draw(t, "mu"))
	if most := 0.4 * m.nominal * m.push * m.track; m.scrub > most {
		m.scrub = most
	}
	return m
}
