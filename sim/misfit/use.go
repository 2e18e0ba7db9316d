package misfit

import (
	"fmt"
	"math"

	"chalkfield/sim/robot"
)

// drive looks whether the motors set the robot off.
func (f *finder) drive() {
	f.part = "drive"
	f.strained()
	needs, gives := f.robot.SetsOff()
	if gives > needs {
		return
	}
	f.warn("write stronger motors, a greater gear, or less drag",
		"its motors cannot turn its wheels: a train takes %.3g N m to set off, they give %.3g N m there", needs, gives)
}

// strained looks whether the battery gives the drive's motor far more than its values are of. Common practice, no
// source.
func (f *finder) strained() {
	const most = 1.5
	open, nominal := f.robot.Battery.Open, f.robot.Motors[f.robot.Drive.Motor].Nominal
	if open > most*nominal {
		f.warn("write the voltage at which torque and speed were measured, or the battery that the robot has",
			"the battery has %.3g V, and the motor's values are of %.3g V: it turns %.2g times as fast as free_speed says",
			open, nominal, open/nominal)
	}
}

// air looks whether the regulator has anything to do.
func (f *finder) air() {
	a := f.robot.Air
	if a == nil || a.Regulator <= a.Pressure {
		return
	}
	f.part = "air"
	f.warn("write a greater pressure, or a regulator below it; without one leave regulator out",
		"its reservoir starts with %.0f kPa, below the %.0f kPa of its regulator, which so never regulates",
		a.Pressure/1000, a.Regulator/1000)
}

// fed looks whether anything brings pieces onto a conveyor. The first one may have pieces from the start.
func (f *finder) fed(index int) {
	first := true
	for i, p := range f.robot.Parts {
		switch {
		case p.Intake != nil && p.Intake.Into == index, p.Claw != nil && p.Claw.Gives == index,
			p.Gate != nil && p.Gate.Into == index:
			return
		case p.Conveyor != nil && i < index:
			first = false
		}
	}
	for _, p := range f.field.Pieces {
		if first && p.Robot >= 0 {
			return
		}
	}
	f.warn(fmt.Sprintf("write into = %q in an intake, or gives = %q in a claw", f.part, f.part),
		"no piece ever gets onto it: no intake feeds it and no claw")
}

// carries looks whether anything rides on a lift: scorers and claws do that name it. On a field with no pieces nothing
// is to be carried.
func (f *finder) carries(index int) {
	if len(f.field.Pieces) == 0 {
		return
	}
	for _, p := range f.robot.Parts {
		if p.Scorer != nil && p.Scorer.Lift == index || p.Claw != nil && p.Claw.Lift == index {
			return
		}
	}
	f.warn(fmt.Sprintf("write lift = %q in the scorer or claw that it carries", f.part),
		"it carries nothing, so its height changes nothing")
}

// reaches looks whether a lift's motors and gains bring it to its heights.
func (f *finder) reaches(o *robot.Lift) {
	worst, name := 0.0, ""
	for _, h := range o.Heights {
		if h.At <= o.Low {
			continue
		}
		if needs, gives := o.Lifts(f.robot, h.At); needs > gives {
			f.warn("write a stronger motor, a greater gear, less load, or a spring that bears it",
				"its motors cannot lift it at %q: that takes %.3g A of each, they give %.3g A", h.Name, needs, gives)
			return
		}
		if sags := o.Sags(f.robot, h.At); sags > max(worst, o.Within) {
			worst, name = sags, h.Name
		}
	}
	switch {
	case name == "":
	case math.IsInf(worst, 1):
		f.warn("write p in its gains", "its gains have no p, so it never gets to %q", name)
	default:
		f.warn("write gains with a hold voltage, an i or a greater p, or a spring that bears the load",
			"coming from below it may stop %s short of %q, and only %s counts as there", o.Show(worst), name, o.Show(o.Within))
	}
}

// scorer looks whether there is a goal that it can put pieces into.
func (f *finder) scorer(s *robot.Scorer) {
	if len(f.field.Goals) == 0 {
		return
	}
	wanted := ""
	for _, g := range f.field.GoalKinds {
		switch {
		case !g.Fixed && s.Clamp < 0: // only a clamp brings it within reach
		case g.Height == "" || f.rises(s.Lift, g.Height):
			return
		default:
			wanted = g.Height
		}
	}
	if wanted == "" {
		f.warn("write clamp = \"clamp\" in it, with a part that is a clamp",
			"it has no clamp, and %s has only goals that a clamp must hold", f.field.Title)
		return
	}
	instead := "write lift = \"lift\" in it, with a part that is a lift"
	if s.Lift >= 0 {
		instead = fmt.Sprintf("write { name = %q, at = ... } among the heights of bot.%s", wanted, f.robot.Parts[s.Lift].Name)
	}
	f.warn(instead, "it never gets to the height %q of the goals of %s", wanted, f.field.Title)
}

// rises reports whether a lift has a height of that name; no lift has none.
func (f *finder) rises(lift int, height string) bool {
	if lift < 0 {
		return false
	}
	for _, h := range f.robot.Parts[lift].Lift.Heights {
		if h.Name == height {
			return true
		}
	}
	return false
}

// piston looks whether the air that the robot starts with moves it against its spring.
func (f *finder) piston(p robot.Piston) {
	if f.robot.Air == nil {
		return
	}
	supply := f.robot.Air.Pressure
	if r := f.robot.Air.Regulator; r > 0 {
		supply = math.Min(supply, r)
	}
	force := supply * math.Pi / 4 * p.Bore * p.Bore
	if force > p.Spring {
		return
	}
	way := "move"
	if p.Assist {
		way = "come back"
	}
	f.warn(fmt.Sprintf("write a spring of at most \"%.0f N\", a wider bore or more pressure", math.Floor(0.8*force)),
		"its piston cannot %s: %.0f kPa push with %.3g N, its spring with %.3g N", way, supply/1000, force, p.Spring)
}
