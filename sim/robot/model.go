package robot

import (
	"cmp"
	"math"
	"slices"

	"chalkfield/internal/base/geom"
)

// Model is what a controller may know of the drive base, computed from the file. SI units and radians.
type Model struct {
	Mass      float64  // kg
	Inertia   float64  // kg m^2 about the vertical axis through the pivot, rotors and wheels not included
	Track     float64  // m: effective track width
	FreeSpeed float64  // m/s at Volts
	Volts     float64  // V, nominal
	KV        float64  // V per m/s, per train
	KA        float64  // V per m/s^2
	TurnKV    float64  // V per rad/s
	TurnKA    float64  // V per rad/s^2
	KS        float64  // V: what overcomes friction
	TurnKS    float64  // V: scrub in a steady turn
	Limit     float64  // V beyond the motors' back-EMF at which they take the current of their limit; 0: no limit
	Drag      float64  // V per m/s: the part of KV that is friction
	Grip      float64  // m/s^2 along, driven wheels, level
	SideGrip  float64  // m/s^2 to the side
	Tips      []Tip    // what it bears where its tyres could tip it, holding nothing
	Centre    geom.Vec // m: of mass, in the robot's frame
	Period    float64  // s: control tick
	DeadBand  float64  // V: the motor controller gives nothing for less
	Delay     float64  // s: from a command until the motors have it
	Slew      float64  // V/s: how fast their volts change at most; 0: no limit

	// Pivot is the point about which the base turns on the spot, m ahead of the point that poses speak of: the traction
	// wheels' axle where the other wheels are omni wheels. Motions plan the way of this point.
	Pivot float64

	Control // defaults of the robot file, 0 where they are to be computed
}

// FreeSpeed is the speed at the floor with nothing to drive at nominal voltage, m/s: w0 r / G.
func (r *Robot) FreeSpeed() float64 {
	return r.Motors[r.Drive.Motor].FreeSpeed / r.Drive.Gear * r.MeanRadius()
}

// TopSpeed is the speed straight ahead that the nominal voltage holds against the robot's own friction, m/s: V = kS +
// kV v solved for v; 0 where friction takes it all.
func (m Model) TopSpeed() float64 {
	volts := m.Volts - m.KS
	if m.Limit > 0 && m.Drag > 0 {
		return max(0, min(volts/m.KV, (m.Limit-m.KS)/m.Drag))
	}
	return max(0, volts/m.KV)
}

// Starts are the volts below which the robot does not move, V: friction's, or the motor controller's dead band.
func (m Model) Starts() float64 { return max(m.KS, m.DeadBand) }

// forcePerVolt is a train's push at the floor for each volt beyond the motors' own friction, N/V: n kt G eff / (R r)
// with R = Vn/Is, from the motor line (Lynch & Park 8.9); of trains that differ, their mean.
func (r *Robot) forcePerVolt() float64 {
	m, d := r.Motors[r.Drive.Motor], r.Drive
	perVolt := m.TorquePerAmp() * m.StallCurrent / m.Nominal
	return float64(d.PerSide) * d.push() * perVolt * d.Gear * d.Efficiency / r.MeanRadius()
}

// StalledPush is what all drive motors push at the floor when they stand at the nominal voltage, within their current
// limit, N: 2 n kt (I - I0) G eff / r, which without a limit is the stall torque of the data sheet through gear and
// wheel.
func (r *Robot) StalledPush() float64 {
	m, d := r.Motors[r.Drive.Motor], r.Drive
	var torque float64
	for _, push := range []float64{d.Push(Left), d.Push(Right)} {
		held := m.StallCurrent * push
		if m.Limit > 0 {
			held = min(held, m.Limit)
		}
		torque += float64(m.TorquePerAmp() * math.Max(0, held-float64(m.FreeCurrent*push)))
	}
	return float64(d.PerSide) * torque * d.Gear * d.Efficiency / r.MeanRadius()
}

// frictionVolts overcome the motors' own friction, V: R I0.
func (m Motor) frictionVolts() float64 { return m.Nominal * m.FreeCurrent / m.StallCurrent }

// resistance is the force (N) at the floor of one train's gears and of half of all wheels' rolling resistance, and the
// part that grows with the speed, N s/m.
func (r *Robot) resistance() (force, viscous float64) {
	radius := r.MeanRadius()
	force = r.Drive.Drag / radius
	for i, load := range r.WheelLoads() {
		force += float64(r.Wheels[i].Rolling * load / 2)
	}
	return force, r.Drive.Viscous / (radius * radius)
}

// SetsOff is the torque (N m) at a train's wheels that sets the robot off from a standstill on the level, and what its
// motors give there at most: both trains stalled on the charged battery (Ohm), within the current limit, and both as
// weak as the weaker.
func (r *Robot) SetsOff() (needs, gives float64) {
	m, n := r.Motors[r.Drive.Motor], float64(r.Drive.PerSide)
	weaker := min(r.Drive.Push(Left), r.Drive.Push(Right))
	own := m.Nominal / (n * weaker * m.StallCurrent) // ohm of a train
	amps := r.Battery.Open / (float64(2*r.Battery.Resistance) + own)
	if m.Limit > 0 {
		amps = min(amps, n*m.Limit)
	}
	force, _ := r.resistance()
	radius := r.MeanRadius()
	away := math.Max(1, r.Drive.Breakaway) - 1
	volts := math.Max(0, float64(amps*own)-m.frictionVolts())
	return float64(force*radius) + float64(away*r.Drive.Drag),
		r.forcePerVolt() * (weaker / r.Drive.push()) * volts * radius
}

// rolling is the mass that a train's rotors and wheels count for at the floor, kg: (n Jm G^2 + sum Jw) / r^2.
func (r *Robot) rolling(t Train) float64 {
	m, d := r.Motors[r.Drive.Motor], r.Drive
	j := float64(d.PerSide) * m.Inertia * d.Gear * d.Gear
	for _, w := range r.Wheels {
		if w.Train == t {
			j += w.Inertia
		}
	}
	return j / (r.Radius(t) * r.Radius(t))
}

// Grips are the greatest accelerations that the tyres hold, m/s^2, on a floor of grip 1: mu g over the wheels' shares
// of the weight (Coulomb). Along, only driven wheels count, and both trains push alike: as the weaker one holds. Load
// transfer is left out, and what tyres hold beyond that until they slide.
func (r *Robot) Grips() (along, side float64) {
	var trains [3]float64
	for i, load := range r.WheelLoads() {
		w := r.Wheels[i]
		trains[w.Train] += w.Along * load / r.Chassis.Mass
		side += w.Across * load / r.Chassis.Mass
	}
	return 2 * min(trains[Left], trains[Right]), side
}

// Model computes the numbers. Straight ahead the line motor gives V = kS sign(v) + kV v + kA a with kS = R I0 + drag,
// kV = (Vn - R I0) / v_free + viscous drag and kA = (m + reflected) / (2 force per volt), drags over the force per
// volt; turning, each train pushes at half the track, so J alpha = F b, with the inertia about the pivot, I + m d^2
// (parallel axes; Meriam & Kraige, Dynamics, appendix B; from memory). Steady turning adds the scrub force as TurnKS
// and its creep in the effective track.
func (r *Robot) Model() Model {
	m, turn, pivot := r.Motors[r.Drive.Motor], r.turning(), r.Pivot()
	arm := geom.Vec{X: r.Chassis.Centre.X - pivot, Y: r.Chassis.Centre.Y}
	inertia := r.Chassis.Inertia + float64(r.Chassis.Mass*geom.Norm2(arm))
	force, plain := r.forcePerVolt(), r.PlainTrack()
	rolling := r.rolling(Left) + r.rolling(Right)
	drag, viscous := r.resistance()
	d := Model{
		Mass: r.Chassis.Mass, Inertia: inertia, Track: turn.track,
		FreeSpeed: r.FreeSpeed(), Volts: m.Nominal, Control: r.Control,
		KS:     m.frictionVolts() + drag/force,
		KV:     (m.Nominal-m.frictionVolts())/r.FreeSpeed() + viscous/force,
		KA:     (r.Chassis.Mass + rolling) / (2 * force),
		TurnKA: (inertia + float64(rolling*plain*plain/4)) / (force * plain),
		TurnKS: math.Max(0, turn.force/force), // without scrub the search for the steady turn ends an ulp beside 0
	}
	d.TurnKV = d.KV * d.Track / 2
	d.Limit, d.Drag = m.Nominal*m.Limit/m.StallCurrent, viscous/force
	d.Grip, d.SideGrip = r.Grips()
	d.Tips, d.Centre = r.ownTips(), r.Chassis.Centre
	d.Pivot = pivot
	d.DeadBand, d.Delay, d.Slew = r.Drive.DeadBand, r.Drive.Latency, r.Drive.Slew
	return d
}

// Pivot is about where the robot turns on the spot, m along x: the place for which the sideways friction of the wheels
// before and behind balance, which is the median of the wheels' x weighted by what each holds sideways (Coulomb
// friction of sliding wheels does not grow with their speed).
func (r *Robot) Pivot() float64 {
	type hold struct{ x, side float64 }
	loads := r.WheelLoads()
	holds, total := make([]hold, len(loads)), 0.0
	for i, w := range r.Wheels {
		holds[i] = hold{w.At.X, float64(w.Across * loads[i])}
		total += holds[i].side
	}
	slices.SortFunc(holds, func(a, b hold) int { return cmp.Compare(a.x, b.x) })
	below := 0.0
	for i, h := range holds {
		below += h.side
		switch over := below - float64(total/2); {
		case math.Abs(over) <= 1e-9*total && i+1 < len(holds): // balanced anywhere between the two
			return (h.x + holds[i+1].x) / 2
		case over > 0:
			return h.x
		}
	}
	return 0
}
