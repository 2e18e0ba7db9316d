package fit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
)

// otherRobot is a drive base by another model than sim's, with which it shares no code: a fit of its logs has a model
// that is wrong. The motors have inductance; the gears rub by Stribeck's curve; the tyres are brushes with a length of
// relaxation; the floor has seams. SI units.
type otherRobot struct {
	mass, inertia     float64
	resistance        float64 // ohm, of a side's motors
	inductance        float64 // H
	constant          float64 // V s/rad = N m/A, at the wheels
	losses            float64 // 0..1: torque that the gears pass on
	rotors            float64 // kg m^2 of a side at the wheels, wheels included
	sliding, standing float64 // N m at the wheels: Coulomb, and beyond it at rest
	stribeck          float64 // rad/s over which the latter falls off
	viscous           float64 // N m s/rad
	radius            [2]float64
	strength          [2]float64 // of a side's motors
	wheels            [][2]float64
	along, across     float64 // friction coefficients
	stiffness         float64 // N/m of a tyre's brushes
	relaxation        float64 // m
	seams             float64 // m from one to the next, 0: none
	open, internal    float64 // V, ohm of the battery
	late              float64 // s from command to motor
}

// anOtherRobot has the hauler's size; the rest differs from its file as a real one might.
func anOtherRobot() otherRobot {
	return otherRobot{
		mass: 6.5, inertia: 0.21, resistance: 1.05, inductance: 3e-3, constant: 0.33, losses: 0.85, rotors: 7e-4,
		sliding: 0.05, standing: 0.03, stribeck: 1, viscous: 0.002,
		radius: [2]float64{0.0448, 0.0452}, strength: [2]float64{0.97, 1.0},
		wheels: [][2]float64{{0.13, 0.165}, {0, 0.165}, {-0.13, 0.165}, {0.13, -0.165}, {0, -0.165}, {-0.13, -0.165}},
		along:  0.85, across: 0.13, stiffness: 3e4, relaxation: 0.03, seams: 0.6, open: 12.4, internal: 0.1, late: 0.02,
	}
}

// otherState is where it is and how it moves.
type otherState struct {
	x, y, heading float64
	u, v, turn    float64 // m/s ahead and to the left, rad/s
	spin, angle   [2]float64
	amps          [2]float64
	brush         [][2]float64 // m: how far each tyre's brushes are bent
	terminal      float64
}

// step takes the state on by dt: Euler's semi-implicit rule, for which dt must be short beside the brushes' period.
func (r otherRobot) step(s *otherState, volts [2]float64, dt float64) {
	const g = 9.80665
	load := r.mass * g / float64(len(r.wheels))
	var fx, fy, moment float64
	var onTrain [2]float64
	for i, at := range r.wheels {
		side := 0
		if at[1] < 0 {
			side = 1
		}
		vx, vy := s.u-s.turn*at[1], s.v+s.turn*at[0]
		px, py := r.tyre(&s.brush[i], s.spin[side]*r.radius[side]-vx, -vy, math.Hypot(vx, vy), load*r.seamGrip(s, at), dt)
		onTrain[side] += px * r.radius[side]
		px -= r.seamDrag(s, at, vx)
		fx, fy, moment = fx+px, fy+py, moment+at[0]*py-at[1]*px
	}
	for side := range 2 {
		r.train(s, side, geomClamp(volts[side], s.terminal), onTrain[side], dt)
	}
	s.terminal = r.open - r.internal*(math.Abs(s.amps[0]*volts[0])+math.Abs(s.amps[1]*volts[1]))/r.open
	s.u, s.v = s.u+dt*(fx/r.mass+s.v*s.turn), s.v+dt*(fy/r.mass-s.u*s.turn)
	s.turn += dt * moment / r.inertia
	sin, cos := math.Sincos(s.heading)
	s.x, s.y, s.heading = s.x+dt*(s.u*cos-s.v*sin), s.y+dt*(s.u*sin+s.v*cos), s.heading+dt*s.turn
}

func geomClamp(x, most float64) float64 { return max(-most, min(most, x)) }

// train is a side's motors, L di/dt = V - R i - K w, and their gears with Stribeck's friction, Tc + Ts e^-(w/ws)^2
// (Armstrong-Helouvry, Dupont, Canudas de Wit, Automatica 30(7), 1994; from memory). At 0 V the motors are shorted.
func (r otherRobot) train(s *otherState, side int, volts, tyres, dt float64) {
	back := r.constant * s.spin[side]
	i := (s.amps[side] + dt*(volts-back)/r.inductance) / (1 + dt*r.resistance/r.inductance/r.strength[side])
	s.amps[side] = i
	torque := r.constant * i * r.losses
	if i*s.spin[side] < 0 {
		torque = r.constant * i / r.losses
	}
	w := s.spin[side]
	rub := r.sliding + r.standing*math.Exp(-w*w/(r.stribeck*r.stribeck))
	free := w + dt*(torque-tyres-r.viscous*w)/r.rotors
	s.spin[side] = math.Copysign(max(0, math.Abs(free)-dt*rub/r.rotors), free)
	s.angle[side] += dt * s.spin[side]
}

// tyre bends its brushes z' = slip - |V| z/L and gives the brush model's force, mu F (1 - (1 - n)^3) with n = C z/(3 mu
// F), all of mu F from n = 1 on (Pacejka, Tire and Vehicle Dynamics, ch. 3 and 7; from memory). The wheels are omni
// wheels: what holds them sideways is the rollers' bearings, so that to roll sideways takes nothing from the grip
// along.
func (r otherRobot) tyre(brush *[2]float64, slipX, slipY, speed, load, dt float64) (fx, fy float64) {
	fade := 1 + dt*speed/r.relaxation
	for k, slip := range [2]float64{slipX, slipY} {
		most := [2]float64{r.along, r.across}[k] * load
		brush[k] = geomClamp((brush[k]+dt*slip)/fade, 3*most/r.stiffness)
	}
	force := func(z, most float64) float64 {
		left := 1 - r.stiffness*math.Abs(z)/(3*most)
		return math.Copysign(most*(1-left*left*left), z)
	}
	const damping = 20 // N s/m of a tyre's rubber
	grown := geomClamp(damping*slipX, 0.2*r.along*load)
	return force(brush[0], r.along*load) + grown, force(brush[1], r.across*load)
}

// onSeam tells whether a wheel stands on a seam, which are 12 mm wide.
func (r otherRobot) onSeam(s *otherState, at [2]float64) bool {
	if r.seams == 0 {
		return false
	}
	sin, cos := math.Sincos(s.heading)
	x, y := s.x+at[0]*cos-at[1]*sin+0.1, s.y+at[0]*sin+at[1]*cos+0.25
	near := func(v float64) bool { return math.Abs(v-r.seams*math.Round(v/r.seams)) < 0.006 }
	return near(x) || near(y)
}

func (r otherRobot) seamGrip(s *otherState, at [2]float64) float64 {
	if r.onSeam(s, at) {
		return 0.8
	}
	return 1
}

// seamDrag holds a wheel back on a seam, N.
func (r otherRobot) seamDrag(s *otherState, at [2]float64, speed float64) float64 {
	if !r.onSeam(s, at) {
		return 0
	}
	return 0.6 * math.Tanh(speed/0.05)
}

// pulse is a piece of a table of volts: for a time, from one pair to another.
type pulse struct{ seconds, left, right, toLeft, toRight float64 }

func hold(seconds, left, right float64) pulse { return pulse{seconds, left, right, left, right} }

// rows are the volts of each 20 ms.
func rows(pulses ...pulse) (list [][2]float64) {
	const period = 0.02
	for _, p := range pulses {
		n := int(math.Round(p.seconds / period))
		for i := range n {
			share := float64(i) / float64(n)
			list = append(list, [2]float64{p.left + share*(p.toLeft-p.left), p.right + share*(p.toRight-p.right)})
		}
	}
	return list
}

// log plays a table and writes what a robot's program would have logged, with noise.
func (r otherRobot) log(table [][2]float64, seed uint64) string {
	const period, dt = 0.02, 1e-4
	random := rand.New(rand.NewPCG(seed, 7))
	s := otherState{brush: make([][2]float64, len(r.wheels)), terminal: r.open}
	var out strings.Builder
	out.WriteString("time s, left V, right V, left travel mm, right travel mm, heading deg, battery V\n")
	drift := 0.002 * random.NormFloat64() // rad/s
	late := int(math.Round(r.late / period))
	for i, row := range table {
		t := float64(i) * period
		fmt.Fprintf(&out, "%.2f, %.3f, %.3f, %.1f, %.1f, %.2f, %.2f\n", t, row[0], row[1], 45*s.angle[0], 45*s.angle[1],
			180/math.Pi*(s.heading+drift*t+0.0005*random.NormFloat64()), s.terminal)
		var volts [2]float64
		if i >= late {
			volts = table[i-late]
		}
		for range int(math.Round(period / dt)) {
			r.step(&s, volts, dt)
		}
	}
	return out.String()
}

// otherDrives are tables like those of the test drives.
func otherDrives() map[string][][2]float64 {
	begin, rest := hold(1.2, 0, 0), hold(0.8, 0, 0)
	return map[string][][2]float64{
		"ramp":       rows(begin, pulse{2.5, 0, 0, 6, 6}, rest, pulse{2.5, 0, 0, -6, -6}, rest),
		"step":       rows(begin, hold(0.7, 8, 8), rest, hold(0.7, -8, -8), rest, hold(0.6, 5, 5), rest),
		"spin_ramp":  rows(begin, pulse{2.5, 0, 0, -6, 6}, rest, pulse{2.5, 0, 0, 6, -6}, rest),
		"spin_step":  rows(begin, hold(0.6, -7, 7), rest, hold(0.6, 7, -7), rest),
		"arcs":       rows(begin, hold(0.9, 3, 7), rest, hold(0.9, -7, -3), rest),
		"hard_start": rows(begin, hold(0.4, 12, 12), rest, hold(0.4, -12, -12), rest),
	}
}
