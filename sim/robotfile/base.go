package robotfile

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/geom"
	"chalkfield/internal/portable"
	"chalkfield/internal/units"
)

// Typical motor of a hobby robot of this size, for a file that lists none; invented, no source.
var usualMotor = motorFile{
	Name: "usual", StallTorque: 0.8, FreeSpeed: 480 * 2 * math.Pi / 60, FreeCurrent: 0.2, Nominal: 12, Inertia: 0.4e-4,
}

// grips are the usual friction coefficients of a wheel by its kind, along and across; typical, no source.
var grips = map[string][2]float64{"omni": {0.9, 0.12}, "traction": {1.0, 0.85}}

// resistances are the usual coefficients of rolling resistance of a wheel by its kind. Hard rubber on a smooth hard floor
// has 0.01 to 0.02 (Meriam & Kraige, Engineering Mechanics: Statics, and handbooks give 0.01 to 0.015 for car tyres; from
// memory); that rollers cost more is common practice, no source.
var resistances = map[string]float64{"omni": 0.02, "traction": 0.015}

func (r *reader) readChassis() {
	c, p := r.file.Chassis, "chassis."
	o := Chassis{
		Length:       float64(c.Length),
		Width:        float64(c.Width),
		Mass:         float64(c.Mass),
		Centre:       c.Centre.vec(),
		CentreHeight: float64(c.CentreHeight),
		Inertia:      float64(c.Inertia),
		Friction:     c.Friction,
		Restitution:  c.Restitution,
	}
	if math.Abs(o.Centre.X) > o.Length/2 || math.Abs(o.Centre.Y) > o.Width/2 {
		r.at.Errorf(p+"centre", "the centre of mass lies outside the chassis: write a place within half the length and half the width")
	}
	if uniform := o.Mass * (float64(o.Length*o.Length) + float64(o.Width*o.Width)) / 12; o.Inertia == 0 { // uniform rectangle
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
			Name:        m.Name,
			StallTorque: float64(m.StallTorque),
			FreeSpeed:   float64(m.FreeSpeed),
			FreeCurrent: float64(m.FreeCurrent),
			Nominal:     float64(m.Nominal),
			Limit:       float64(m.Limit),
			Inertia:     float64(m.Inertia),
		}
		r.currents(p, m.StallCurrent, &o)
		if o.Limit > 0 && o.Limit < 2*o.FreeCurrent {
			r.at.Errorf(p+"limit", "the motor could not even turn freely: write at least %q, or leave it out for none", (2 * m.FreeCurrent).String())
		}
		r.out.Motors = append(r.out.Motors, o)
	}
}

// currents sets the stall current, computed where the file leaves it out, and checks that the motor gives no more than it
// takes.
func (r *reader) currents(p string, given *units.Current, o *Motor) {
	least := o.leastStallCurrent()
	if given != nil {
		o.StallCurrent = float64(*given)
		if o.FreeCurrent <= o.StallCurrent/2 && o.StallCurrent < least*(1-1e-9) {
			r.at.Errorf(p+"stall_current", "this motor would give more power than it takes: with that torque, speed and voltage "+
				"it needs at least %q; or leave the key out, and it is computed", roundedUp(least).String())
		}
	} else {
		o.StallCurrent = least
	}
	if o.FreeCurrent > o.StallCurrent/2 {
		r.at.Errorf(p+"free_current", "more than half of the stall current %q: write a smaller one", units.Current(o.StallCurrent).String())
	}
}

// roundedUp gives a current with three digits, none too small.
func roundedUp(amps float64) units.Current {
	unit := math.Pow(10, math.Floor(math.Log10(amps))-2)
	return units.Current(math.Ceil(amps/unit) * unit)
}

func (r *reader) readDrive() {
	d := r.file.Drive
	o := Drive{
		Motor:      r.motor("drive.motor", d.Motor),
		PerSide:    d.PerSide,
		Gear:       d.Gear,
		Efficiency: d.Efficiency,
		Creep:      float64(d.Creep),
		Drag:       float64(d.Drag),
		Viscous:    float64(d.Viscous),
		Breakaway:  d.Breakaway,
	}
	o.Coasts = r.at.Index("drive.rest", "way to rest at 0 V", d.Rest, []string{"brake", "coast"}) == 1
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
		At:      w.At.vec(),
		Radius:  float64(w.Radius),
		Inertia: float64(w.Inertia),
		Train:   Train(max(0, r.at.Index(p+"train", "train", w.Train, []string{"left", "right", "free"}))),
	}
	if c := r.out.Chassis; math.Abs(o.At.X) > c.Length/2 || math.Abs(o.At.Y) > c.Width/2 {
		r.at.Errorf(p+"at", "this wheel stands outside the chassis: write a place within half its length and half its width")
	}
	usual, known := grips[w.Kind]
	if !known {
		r.at.Index(p+"kind", "kind of wheel", w.Kind, []string{"omni", "traction"})
	}
	o.Along, o.Across, o.Rolling = usual[0], usual[1], resistances[w.Kind]
	if w.Along != nil {
		o.Along = *w.Along
	}
	if w.Across != nil {
		o.Across = *w.Across
	}
	if w.Rolling != nil {
		o.Rolling = *w.Rolling
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
		directions[i] = portable.Atan2(s.Y-centre.Y, s.X-centre.X)
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
		Open:       float64(b.Open),
		Resistance: float64(b.Resistance),
		Capacity:   float64(b.Capacity),
		Empty:      float64(b.Empty),
	}
	if b.Capacity > 0 && b.Empty > b.Open {
		r.at.Errorf("battery.empty", "more than the charged voltage %q: write less", b.Open.String())
	}
}

func (r *reader) readAir() {
	if a := r.file.Air; a != nil {
		r.out.Air = &Air{
			Volume:    float64(a.Volume),
			Pressure:  float64(a.Pressure),
			Regulator: float64(a.Regulator),
		}
	}
}

func (r *reader) readControl() {
	c := r.file.Control
	r.out.Control = Control{
		Speed:     float64(c.Speed),
		Accel:     float64(c.Accel),
		TurnRate:  float64(c.TurnRate),
		TurnAccel: float64(c.TurnAccel),
		AlongP:    float64(c.AlongP),
		HeadingP:  float64(c.HeadingP),
		HeadingD:  c.HeadingD,
	}
}

func (r *reader) readSpread() {
	s := r.file.Spread
	r.out.Spread = Spread{
		StartAt:      float64(s.StartAt),
		StartHeading: float64(s.StartHeading),
		Charge:       float64(s.Charge),
		Motors:       s.Motors,
		Sensors:      s.Sensors,
		InertialBias: float64(s.InertialBias),
		Reaction:     float64(s.Reaction),
		Radius:       s.Radius,
	}
}
