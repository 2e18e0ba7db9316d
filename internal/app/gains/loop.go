// Package gains shows what the gains of a robot's loops do: steps and ramps of each, rehearsed on an empty floor with
// the simulator's own controllers, by the gains in the file and by others; how far each is from ringing; and the gains
// written into the file. The window turns them one by one.
package gains

import (
	"fmt"
	"math"

	"chalkfield/internal/base/portable"
	"chalkfield/sim/robot"
)

// Kind is what a loop moves.
type Kind int

const (
	Straight Kind = iota // the place along the heading, m
	Turn                 // the heading, rad
	Lift                 // an arm's angle, rad, or a carriage's height, m
)

// Loop is one loop of a robot.
type Loop struct {
	Name string // "drive straight", "drive turn", or the lift's own
	Kind Kind
	Part int // of a lift
}

// Loops are those that a robot has.
func Loops(r *robot.Robot) []Loop {
	list := []Loop{{"drive straight", Straight, -1}, {"drive turn", Turn, -1}}
	for i, p := range r.Parts {
		if p.Lift != nil {
			list = append(list, Loop{p.Name, Lift, i})
		}
	}
	return list
}

// Values are a loop's gains, in the units of the robot file's struct; what a loop has not is 0. A drive's P is 1/s, its
// D a share of the rate; a lift's are V per rad or m, with seconds, and Hold in V.
type Values struct {
	P    float64 `json:"p"`
	I    float64 `json:"i"`
	D    float64 `json:"d"`
	Hold float64 `json:"hold"`
}

// Gain is one that a loop has.
type Gain struct {
	Word string // "p"
	Path string // in the robot file
	Unit string // SI, as the file's tags have it; "" for a bare number
	Most float64
	of   func(*Values) *float64
}

// Value is that of some gains.
func (g *Gain) Value(v Values) float64 { return *g.of(&v) }

// With gives some gains another value of this one.
func (g *Gain) With(v Values, x float64) Values {
	*g.of(&v) = x
	return v
}

// Turned is a gain some steps larger, each by a tenth, or smaller. From 0 it begins small beside P, and what gets far
// smaller than that is 0. What holds goes in tenths of a volt.
func (g *Gain) Turned(v Values, steps float64) float64 {
	x := g.Value(v)
	if g.Word == "hold" {
		return math.Max(-g.Most, math.Min(g.Most, x+float64(0.1*steps)))
	}
	small := g.usual(v.P)
	if x == 0 && steps > 0 {
		x = small
	}
	x = math.Min(g.Most, x*portable.Pow(1.1, steps))
	if x < small/10 && g.Word != "p" {
		return 0
	}
	return x
}

var (
	ofP    = func(v *Values) *float64 { return &v.P }
	ofI    = func(v *Values) *float64 { return &v.I }
	ofD    = func(v *Values) *float64 { return &v.D }
	ofHold = func(v *Values) *float64 { return &v.Hold }
)

// Gains are those that the loop has, with the ranges of the robot file.
func (l Loop) Gains(r *robot.Robot) []Gain {
	switch l.Kind {
	case Straight:
		return []Gain{{"p", "control.along_p", "1/s", 100, ofP}}
	case Turn:
		return []Gain{{"p", "control.heading_p", "1/s", 100, ofP}, {"d", "control.heading_d", "", 10, ofD}}
	}
	path := fmt.Sprintf("parts[%d].lift.gains.", l.Part)
	per, most := "rad", 10000*180/math.Pi
	if r.Parts[l.Part].Lift.Elevator {
		per, most = "m", 1e6
	}
	return []Gain{{"p", path + "p", "V/" + per, most, ofP}, {"i", path + "i", "V/" + per + "/s", most, ofI},
		{"d", path + "d", "V s/" + per, most, ofD}, {"hold", path + "hold", "V", 60, ofHold}}
}

// Unit is the loop's quantity in SI units.
func (l Loop) Unit(r *robot.Robot) string {
	if l.Kind == Straight || l.Kind == Lift && r.Parts[l.Part].Lift.Elevator {
		return "m"
	}
	return "rad"
}

// In gives a robot gains of a loop.
func (l Loop) In(r *robot.Robot, v Values) *robot.Robot {
	out := *r
	switch l.Kind {
	case Straight:
		out.Control.AlongP = v.P
	case Turn:
		out.Control.HeadingP, out.Control.HeadingD = v.P, v.D
	case Lift:
		out = *l.withLift(r, func(o *robot.Lift) { o.Gains = robot.Gains{P: v.P, I: v.I, D: v.D, Hold: v.Hold} })
	}
	return &out
}

// alone is the robot whose other gains are those that the model gives: what a loop does hangs on its own alone.
func (l Loop) alone(r *robot.Robot) *robot.Robot {
	out := *r
	out.Control.AlongP, out.Control.HeadingP, out.Control.HeadingD = 0, 0, 0
	return &out
}

// withLift is a robot with another lift.
func (l Loop) withLift(r *robot.Robot, change func(*robot.Lift)) *robot.Robot {
	out, lift := *r, *r.Parts[l.Part].Lift
	change(&lift)
	out.Parts = append([]robot.Part(nil), r.Parts...)
	out.Parts[l.Part].Lift = &lift
	return &out
}

// Case is what else may be so at a match.
type Case struct {
	Name   string  `json:"name"`
	Low    bool    `json:"low_battery"`
	Loaded bool    `json:"loaded"`
	late   float64 // s more until the motors have a command, which no controller knows of
}

// Cases are those that gains must do in.
var Cases = []Case{{Name: "full battery"}, {Name: "low battery", Low: true}, {Name: "loaded", Loaded: true},
	{Name: "low and loaded", Low: true, Loaded: true}}

// What a load is, and a low battery of a robot whose file does not say; our own rules.
const (
	driveLoad = 1.25 // of the robot's mass and inertia: about a goal in tow
	liftLoad  = 1.5  // of what the lift carries
	lowShare  = 0.85 // of the charged battery
)

// of is the robot as it is in a case.
func (c Case) of(r *robot.Robot, l Loop) *robot.Robot {
	out := *r
	if c.Low {
		out.Battery.Open *= lowShare
		if r.Battery.Capacity > 0 {
			out.Battery.Open = r.Battery.Empty
		}
	}
	if l.Kind == Lift {
		return l.withLift(&out, func(o *robot.Lift) {
			o.Latency += c.late
			if c.Loaded {
				o.Load *= liftLoad
			}
		})
	}
	out.Drive.Latency += c.late
	if c.Loaded {
		out.Chassis.Mass *= driveLoad
		out.Chassis.Inertia *= driveLoad
	}
	return &out
}

// times is the controller with so many times its gain; what only holds stays.
func (v Values) times(k float64) Values { return Values{v.P * k, v.I * k, v.D * k, v.Hold} }
