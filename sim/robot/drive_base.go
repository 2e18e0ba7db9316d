package robot

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/internal/base/units"
)

// Typical motor of a hobby robot of this size, for a file that lists none; invented, no source.
var usualMotor = Motor{
	Name: "usual", StallTorque: 0.8, FreeSpeed: 480 * 2 * math.Pi / 60, FreeCurrent: 0.2, Nominal: 12, Inertia: 0.4e-4,
}

// grips are the usual friction coefficients of a wheel by its kind, along and across; typical, no source.
var grips = map[string][2]float64{"omni": {0.9, 0.12}, "traction": {1.0, 0.85}}

// resistances are the usual coefficients of rolling resistance of a wheel by its kind. Hard rubber on a smooth hard
// floor has 0.01 to 0.02 (Meriam & Kraige, Engineering Mechanics: Statics, and handbooks give 0.01 to 0.015 for car
// tyres; from memory); that rollers cost more is common practice, no source.
var resistances = map[string]float64{"omni": 0.02, "traction": 0.015}

func (r *reader) readChassis() {
	r.readOutline()
	c := &r.out.Chassis
	if shape := c.Shape(); !shape.Contains(c.Centre) {
		r.at.Errorf("chassis.centre", "the centre of mass lies outside the chassis: write %s, say", within(shape, c.Centre))
	}
	if uniform := c.UniformInertia(); c.Inertia == 0 {
		c.Inertia = uniform
	} else if c.Inertia < uniform/50 || c.Inertia > 20*uniform {
		r.at.Errorf("chassis.inertia", "far from what this mass and size allow: write a value near %q or leave the key out",
			units.Text(uniform, "kg m^2"))
	}
}

func (r *reader) readMotors() {
	if len(r.out.Motors) == 0 {
		r.out.Motors = []Motor{usualMotor}
	}
	var names []string
	for i := range r.out.Motors {
		m, p := &r.out.Motors[i], fmt.Sprintf("motors[%d].", i)
		if m.Name == "" {
			r.at.Errorf(p+"name", "a motor needs a name: write \"drive motor\"")
		}
		r.unique(p+"name", "motor", m.Name, names)
		names = append(names, m.Name)
		r.currents(p, m)
		if m.Limit > 0 && m.Limit < 2*m.FreeCurrent {
			r.at.Errorf(p+"limit", "the motor could not even turn freely: write at least %q, or leave it out for none",
				units.Text(2*m.FreeCurrent, "A"))
		}
		r.heat(p, m)
	}
	r.at.Refer("", r.out, "motor of this file", names)
}

// currents computes the stall current where the file leaves it out, and checks that the motor gives no more than it
// takes.
func (r *reader) currents(p string, m *Motor) {
	least := m.LeastStallCurrent()
	if !r.at.Has(p + "stall_current") {
		m.StallCurrent = least
	} else if m.FreeCurrent <= m.StallCurrent/2 && m.StallCurrent < least*(1-1e-9) {
		r.at.Errorf(p+"stall_current", "this motor would give more power than it takes: with that torque, speed and voltage "+
			"it needs at least %q; or leave the key out, and it is computed", units.Text(roundedUp(least), "A"))
	}
	if m.FreeCurrent > m.StallCurrent/2 {
		r.at.Errorf(p+"free_current", "more than half of the stall current %q: write a smaller one",
			units.Text(m.StallCurrent, "A"))
	}
}

// heat checks that a motor that gets hot can turn freely when it is, and can get hot at all.
func (r *reader) heat(p string, m *Motor) {
	switch most := m.StallCurrentHeld(); {
	case m.Lasting == 0 && r.at.Has(p+"heat_time"):
		r.at.Errorf(p+"heat_time", "a motor gets hot beyond a current that it bears for ever: write lasting_current too, "+
			"or leave this out")
	case m.Lasting == 0:
	case m.Lasting < 2*m.FreeCurrent:
		r.at.Errorf(p+"lasting_current", "hot, the motor could not even turn freely: write at least %q, or leave it out",
			units.Text(2*m.FreeCurrent, "A"))
	case m.Lasting >= most:
		r.at.Errorf(p+"lasting_current", "the motor takes %q at most, so it would never get hot: write less, or "+
			"leave it out", units.Text(most, "A"))
	}
}

// roundedUp gives a current with three digits, none too small.
func roundedUp(amps float64) float64 {
	unit := math.Pow(10, math.Floor(math.Log10(amps))-2)
	return math.Ceil(amps/unit) * unit
}

func (r *reader) readDrive() {
	r.motor("drive.motor", &r.out.Drive.Motor)
	if n := len(r.out.Wheels); n > 20 {
		r.at.Errorf("wheels", "%d wheels are more than the 20 a robot may have", n)
		return
	}
	for i := range r.out.Wheels {
		r.wheel(fmt.Sprintf("wheels[%d].", i), &r.out.Wheels[i])
	}
	r.checkTrains()
}

func (r *reader) wheel(p string, w *Wheel) {
	if shape := r.out.Chassis.Shape(); !shape.Contains(w.At) {
		r.at.Errorf(p+"at", "this wheel stands outside the chassis: write %s, say", within(shape, w.At))
	}
	usual := grips[w.Kind]
	r.usual(p+"along", &w.Along, usual[0])
	r.usual(p+"across", &w.Across, usual[1])
	r.usual(p+"rolling", &w.Rolling, resistances[w.Kind])
}

// usual gives a key that the file leaves out its usual value.
func (r *reader) usual(path string, x *float64, value float64) {
	if !r.at.Has(path) {
		*x = value
	}
}

// checkTrains: each train has a wheel, the left ones stand left of the right ones, and the robot stands on its wheels.
func (r *reader) checkTrains() {
	var y, n [3]float64
	var spots []geom.Vec
	for _, w := range r.out.Wheels {
		y[w.Train] += w.At.Y
		n[w.Train]++
		spots = append(spots, w.At)
	}
	for _, t := range []Train{Left, Right} {
		if n[t] == 0 {
			r.at.Errorf("wheels", "no wheel is on the %s train: a differential drive needs one on each side",
				[...]string{"left", "right"}[t])
			return
		}
	}
	if y[Left]/n[Left]-y[Right]/n[Right] < 0.02 {
		r.at.Errorf("wheels", "the left train does not stand left of the right one: y points left, so left wheels have "+
			"the greater y")
		return
	}
	r.checkRadii()
	if len(spots) > 2 && !supports(spots, r.out.Chassis.Centre) {
		r.at.Errorf("chassis.centre", "the centre of mass lies outside the wheels' contact points, so the robot would tip: "+
			"move it or the wheels")
	}
}

// checkRadii: wheels of one train turn together.
func (r *reader) checkRadii() {
	for i, w := range r.out.Wheels {
		if first := r.out.Radius(w.Train); w.Train != Free && math.Abs(w.Radius/first-1) > 0.01 {
			r.at.Errorf(fmt.Sprintf("wheels[%d].radius", i),
				"the wheels of a train turn together, so they need one radius: write %q", units.Text(first, "m"))
		}
	}
}

// supports tells whether a point lies within the convex hull of the spots: seen from it, their directions leave no gap
// of more than half a turn.
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
	if b := r.out.Battery; b.Capacity > 0 && b.Empty > b.Open {
		r.at.Errorf("battery.empty", "more than the charged voltage %q: write less", units.Text(b.Open, "V"))
	}
}
