package testdrive

import (
	"math"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/sim/robot"
)

// Unknown is how the real robot may differ from its file before anything was measured. Each member lies between -1 and
// 1, evenly spread; the scales are below. That a file written from data sheets is so far off is common practice, no
// source.
type Unknown struct {
	Push     float64 // of all motors
	Speed    float64 // free speed of all motors
	Mass     float64 // of chassis and lift's load, and the inertia
	Grip     float64 // of the floor
	Drag     float64 // of gears and rolling
	Sides    float64 // one side's wheels larger than the other's: it drives curves
	Charge   float64
	At, Side float64 // where it was put, along and across
	Heading  float64
}

// The scales: what 1 stands for.
const (
	pushScale    = 0.15                // relative
	speedScale   = 0.08                // relative
	massScale    = 0.10                // relative
	gripScale    = 0.25                // relative, about 0.9 of the file's
	gripMiddle   = 0.9                 // a gymnasium's floor is dustier than the one measured on
	dragScale    = 2                   // factor: half to twice
	sidesScale   = 0.015               // relative, each side
	chargeScale  = 0.05                // relative
	placeScale   = 0.010               // m
	headingScale = 1.5 * math.Pi / 180 // rad
)

// Scales says in words what the scales say of a robot.
func Scales(spec *robot.Robot) []string {
	masses := "mass and inertia: 10 %"
	for _, part := range spec.Parts {
		if part.Lift != nil {
			masses = "mass, inertia and a lift's load: 10 %"
		}
	}
	return []string{"push of the motors: 15 % either way", "their free speed: 8 %", masses,
		"grip of the floor: 65 to 115 % of the file's", "drag of gears and tyres: half to twice",
		"wheels of one side against the other's: 3 %", "the battery: 5 %", "where you put it: 10 mm and 1.5 deg"}
}

// nominal is the robot as its file has it: grip is drawn about another middle.
var nominal = Unknown{Grip: (1 - gripMiddle) / gripScale}

// corners are the robots that go farthest: quick and light, or slow and heavy, on either floor, curving either way.
func corners() []Unknown {
	var list []Unknown
	for _, quick := range []float64{1, -1} {
		for _, grip := range []float64{1, -1} {
			for _, curve := range []float64{1, -1} {
				list = append(list, Unknown{Push: quick, Speed: quick, Mass: -quick, Grip: grip, Drag: -quick, Sides: curve,
					Charge: quick, At: quick, Side: curve, Heading: curve})
			}
		}
	}
	return list
}

// extremes are the robots that go farthest in a drive. Of a square that is turned too little also those between:
// whoever hardly turns goes in a curve, but a corner of 60 instead of 90 degrees leads out of the room.
func (k *kind) extremes() []Unknown {
	list := corners()
	if !k.square {
		return list
	}
	for _, u := range corners() {
		u.Push, u.Speed, u.Mass, u.Drag, u.Charge = u.Push/2, u.Speed/2, u.Mass/2, u.Drag/2, u.Charge/2
		list = append(list, u)
	}
	return list
}

// grip is the floor's.
func (u Unknown) grip() float64 { return gripMiddle + float64(u.Grip*gripScale) }

// start is where such a robot was put, when it was to stand somewhere.
func (u Unknown) start(meant geom.Pose) geom.Pose {
	return meant.Compose(geom.Pose{X: u.At * placeScale, Y: u.Side * placeScale, Heading: u.Heading * headingScale})
}

// of is the file's robot made into this one. Its spread is none: all is drawn here.
func (u Unknown) of(file *robot.Robot) *robot.Robot {
	r := *file
	r.Spread = robot.Spread{}
	u.motors(&r)
	mass, drag := 1+float64(u.Mass*massScale), portable.Pow(dragScale, u.Drag)
	r.Chassis.Mass *= mass
	r.Chassis.Inertia *= mass
	r.Drive.Drag *= drag
	r.Drive.Viscous *= drag
	r.Battery.Open *= 1 + float64(u.Charge*chargeScale)
	r.Battery.Empty = math.Min(r.Battery.Empty, r.Battery.Open)
	r.Wheels = slices.Clone(file.Wheels)
	for i := range r.Wheels {
		w := &r.Wheels[i]
		w.Rolling *= drag
		switch w.Train {
		case robot.Left:
			w.Radius *= 1 - float64(u.Sides*sidesScale)
		case robot.Right:
			w.Radius *= 1 + float64(u.Sides*sidesScale)
		}
	}
	r.Parts = slices.Clone(file.Parts)
	for i, part := range r.Parts {
		if part.Lift != nil {
			lift := *part.Lift
			lift.Load *= mass
			r.Parts[i].Lift = &lift
		}
	}
	return &r
}

// motors are stronger and faster, or weaker and slower. The current goes with the power, so that none gives more than
// it takes.
func (u Unknown) motors(r *robot.Robot) {
	push, speed := 1+float64(u.Push*pushScale), 1+float64(u.Speed*speedScale)
	r.Motors = slices.Clone(r.Motors)
	for i := range r.Motors {
		m := &r.Motors[i]
		m.StallTorque *= push
		m.FreeSpeed *= speed
		m.StallCurrent *= push * speed
	}
}
