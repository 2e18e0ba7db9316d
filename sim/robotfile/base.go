package robotfile

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/geom"
	"chalkfield/internal/units"
)

// Typical motor of a hobby robot of this size, for a file that lists none; invented, no source.
var usualMotor = motorFile{
	Name: "usual", StallTorque: 0.7, FreeSpeed: 600 * 2 * math.Pi / 60, StallCurrent: 2.5, FreeCurrent: 0.15, Nominal: 12, Inertia: 0.3e-4,
}

// grips are the usual friction coefficients of a wheel by its kind, along and across; typical, no source.
var grips = map[string][2]float64{"omni": {0.9, 0.12}, "traction": {1.0, 0.85}}

func (r *reader) readChassis() {
	c, p := r.file.Chassis, "chassis."
	o := Chassis{
		Length:       within(r, p+"length", c.Length, 0.05, 2),
		Width:        within(r, p+"width", c.Width, 0.05, 2),
		Mass:         within(r, p+"mass", c.Mass, 0.1, 150),
		Centre:       r.vec(p+"centre", c.Centre),
		CentreHeight: within(r, p+"centre_height", c.CentreHeight, 0, 1.5),
		Inertia:      within(r, p+"inertia", c.Inertia, 0, 100),
		Friction:     r.number(p+"friction", c.Friction, 0, 3),
		Restitution:  r.number(p+"restitution", c.Restitution, 0, 1),
	}
	if math.Abs(o.Centre.X) > o.Length/2 || math.Abs(o.Centre.Y) > o.Width/2 {
		r.at.Errorf(p+"centre", "the centre of mass lies outside the chassis: write a place within half the length and half the width")
	}
	if uniform := o.Mass * (o.Length*o.Length + o.Width*o.Width) / 12; o.Inertia == 0 { // uniform rectangle
		o.Inertia = uniform
	} else if o.Inertia < uniform/50 || o.Inertia > 20*uniform {
		r.at.Errorf(p+"inertia", "far from what this mass and size allow: write a value near %q or leave the key out", units.Inertia(uniform).String())
	}
	r.out.Chassis = o
}

func (r *reader) readMotors() {
	if len(r.file.Motors) == 0 {
		r.file.Motors = []motorFile{usualMotor}
	}
	for i, m := range r.file.Motors {
		p := fmt.Sprintf("motors[%d].", i)
		if m.Name == "" {
			r.at.Errorf(p+"name", "a motor needs a name: write \"drive motor\"")
		}
		r.unique(p+"name", "motor", m.Name, r.motors)
		r.motors = append(r.motors, m.Name)
		o := Motor{
			Name:         m.Name,
			StallTorque:  within(r, p+"stall_torque", m.StallTorque, 0.001, 100),
			FreeSpeed:    within(r, p+"free_speed", m.FreeSpeed, 0.5, 5000),
			StallCurrent: within(r, p+"stall_current", m.StallCurrent, 0.01, 500),
			FreeCurrent:  within(r, p+"free_current", m.FreeCurrent, 0, 100),
			Nominal:      within(r, p+"nominal", m.Nominal, 1, 60),
			Limit:        within(r, p+"limit", m.Limit, 0, 500),
			Inertia:      within(r, p+"inertia", m.Inertia, 0, 0.1),
		}
		if o.FreeCurrent > o.StallCurrent/2 {
			r.at.Errorf(p+"free_current", "more than half of the stall current %q: write a smaller one", m.StallCurrent.String())
		}
		if o.Limit > 0 && o.Limit < 2*o.FreeCurrent {
			r.at.Errorf(p+"limit", "the motor could not even turn freely: write at least %q, or leave it out for none", (2 * m.FreeCurrent).String())
		}
		r.out.Motors = append(r.out.Motors, o)
	}
}

func (r *reader) readDrive() {
	d := r.file.Drive
	o := Drive{
		Motor:      r.motor("drive.motor", d.Motor),
		PerSide:    r.count("drive.per_side", d.PerSide, 1, 8),
		Gear:       r.number("drive.gear", d.Gear, 0.05, 300),
		Efficiency: r.number("drive.efficiency", d.Efficiency, 0.2, 1),
		Creep:      within(r, "drive.creep", d.Creep, 0.005, 0.5),
	}
	if n := len(r.file.Wheels); n > 20 {
		r.at.Errorf("wheels", "%d wheels are more than the 20 a robot may have", n)
		return
	}
	for i, w := range r.file.Wheels {
		o.Wheels = append(o.Wheels, r.wheel(fmt.Sprintf("wheels[%d].", i), w))
	}
	r.out.Drive = o
	r.checkTrains()
}

func (r *reader) wheel(p string, w wheelFile) Wheel {
	o := Wheel{
		At:      r.vec(p+"at", w.At),
		Radius:  within(r, p+"radius", w.Radius, 0.005, 0.3),
		Inertia: within(r, p+"inertia", w.Inertia, 0, 0.1),
		Train:   Train(max(0, r.at.Index(p+"train", "train", w.Train, []string{"left", "right", "free"}))),
	}
	if c := r.out.Chassis; math.Abs(o.At.X) > c.Length/2 || math.Abs(o.At.Y) > c.Width/2 {
		r.at.Errorf(p+"at", "this wheel stands outside the chassis: write a place within half its length and half its width")
	}
	usual, known := grips[w.Kind]
	if !known {
		r.at.Index(p+"kind", "kind of wheel", w.Kind, []string{"omni", "traction"})
	}
	o.Along, o.Across = usual[0], usual[1]
	if w.Along != nil {
		o.Along = r.number(p+"along", *w.Along, 0.01, 3)
	}
	if w.Across != nil {
		o.Across = r.number(p+"across", *w.Across, 0, 3)
	}
	return o
}

// checkTrains: each train has a wheel, the left ones stand left of the right ones, and the robot stands on its wheels.
func (r *reader) checkTrains() {
	var y, n [3]float64
	var spots []geom.Vec
	for _, w := range r.out.Drive.Wheels {
		y[w.Train] += w.At.Y
		n[w.Train]++
		spots = append(spots, w.At)
	}
	for _, t := range []Train{Left, Right} {
		if n[t] == 0 {
			r.at.Errorf("wheels", "no wheel is on the %s train: a differential drive needs one on each side", [...]string{"left", "right"}[t])
			return
		}
	}
	if y[Left]/n[Left]-y[Right]/n[Right] < 0.02 {
		r.at.Errorf("wheels", "the left train does not stand left of the right one: y points left, so left wheels have the greater y")
		return
	}
	r.checkRadii()
	if len(spots) > 2 && !supports(spots, r.out.Chassis.Centre) {
		r.at.Errorf("chassis.centre", "the centre of mass lies outside the wheels' contact points, so the robot would tip: move it or the wheels")
	}
}

// checkRadii: wheels of one train turn together.
func (r *reader) checkRadii() {
	for i, w := range r.out.Drive.Wheels {
		if first := r.out.radius(w.Train); w.Train != Free && math.Abs(w.Radius/first-1) > 0.01 {
			r.at.Errorf(fmt.Sprintf("wheels[%d].radius", i), "the wheels of a train turn together, so they need one radius: write %q", units.Length(first).String())
		}
	}
}

// supports tells whether a point lies within the convex hull of the spots: seen from it, their directions leave no gap of
// more than half a turn.
func supports(spots []geom.Vec, centre geom.Vec) bool {
	directions := make([]float64, len(spots))
	for i, s := range spots {
		directions[i] = math.Atan2(s.Y-centre.Y, s.X-centre.X)
	}
	slices.Sort(directions)
	widest := directions[0] + 2*math.Pi - directions[len(directions)-1]
	for i := 1; i < len(directions); i++ {
		widest = max(widest, directions[i]-directions[i-1])
	}
	return widest <= math.Pi+1e-9
}

func (r *reader) readBattery() {
	b := r.file.Battery
	r.out.Battery = Battery{
		Open:       within(r, "battery.open", b.Open, 1, 60),
		Resistance: within(r, "battery.resistance", b.Resistance, 0, 2),
		Capacity:   within(r, "battery.capacity", b.Capacity, 0, 1e6),
		Empty:      within(r, "battery.empty", b.Empty, 0, 60),
	}
	if b.Capacity > 0 && b.Empty > b.Open {
		r.at.Errorf("battery.empty", "more than the charged voltage %q: write less", b.Open.String())
	}
}

func (r *reader) readAir() {
	if a := r.file.Air; a != nil {
		r.out.Air = &Air{
			Volume:    within(r, "air.volume", a.Volume, 5e-6, 0.05),
			Pressure:  within(r, "air.pressure", a.Pressure, 0, 2e6),
			Regulator: within(r, "air.regulator", a.Regulator, 0, 2e6),
		}
	}
}

func (r *reader) readControl() {
	c := r.file.Control
	r.out.Control = Control{
		Speed:     within(r, "control.speed", c.Speed, 0, 10),
		Accel:     within(r, "control.accel", c.Accel, 0, 100),
		TurnRate:  within(r, "control.turn_rate", c.TurnRate, 0, 60),
		TurnAccel: within(r, "control.turn_accel", c.TurnAccel, 0, 1000),
		AlongP:    within(r, "control.along_p", c.AlongP, 0, 100),
		HeadingP:  within(r, "control.heading_p", c.HeadingP, 0, 100),
		HeadingD:  r.number("control.heading_d", c.HeadingD, 0, 10),
	}
}

func (r *reader) readSpread() {
	s := r.file.Spread
	r.out.Spread = Spread{
		StartAt:      within(r, "spread.start_at", s.StartAt, 0, 0.5),
		StartHeading: within(r, "spread.start_heading", s.StartHeading, 0, math.Pi/4),
		Charge:       within(r, "spread.charge", s.Charge, 0, 10),
		Motors:       r.number("spread.motors", s.Motors, 0, 0.3),
		Sensors:      r.number("spread.sensors", s.Sensors, 0, 0.3),
		InertialBias: within(r, "spread.inertial_bias", s.InertialBias, 0, 1),
		Reaction:     within(r, "spread.reaction", s.Reaction, 0, 2),
		Radius:       r.number("spread.radius", s.Radius, 0, 0.3),
	}
}
