package robot

import (
	"fmt"
	"math"
)

// maxParts and maxSensors are far beyond any real robot, and keep a broken file from filling the memory.
const (
	maxParts   = 40
	maxSensors = 60
)

func (r *reader) readParts() {
	parts := r.out.Parts
	if n := len(parts); n > maxParts {
		r.at.Errorf("parts", "%d parts are more than the %d a robot may have", n, maxParts)
		return
	}
	var names []string
	for i := range parts { // names and kinds first: parts refer to each other in any order
		p := fmt.Sprintf("parts[%d]", i)
		r.name(p+".name", "part", parts[i].Name, names)
		names = append(names, parts[i].Name)
		parts[i].Kind = r.kind(p, &parts[i])
	}
	for i := range parts {
		p := fmt.Sprintf("parts[%d].", i) + string(parts[i].Kind)
		switch part := &parts[i]; part.Kind {
		case KindIntake:
			r.intake(p, part.Intake)
		case KindConveyor:
			r.motor(p+".motor", &part.Conveyor.Motor)
		case KindClamp:
			r.clamp(p, part.Clamp)
		case KindScorer:
			r.scorer(p, part.Scorer)
		case KindClaw:
			r.claw(p, part.Claw)
		case KindLift:
			r.lift(p, part.Lift)
		}
	}
}

// kind is that of the one table that a part has.
func (r *reader) kind(path string, f *Part) Kind {
	var found []Kind
	for _, k := range []struct {
		kind  Kind
		given bool
	}{
		{KindIntake, f.Intake != nil}, {KindConveyor, f.Conveyor != nil}, {KindClamp, f.Clamp != nil},
		{KindScorer, f.Scorer != nil}, {KindClaw, f.Claw != nil}, {KindLift, f.Lift != nil},
	} {
		if k.given {
			found = append(found, k.kind)
		}
	}
	switch len(found) {
	case 0:
		r.at.Errorf(path, "this part has no kind: give it a table [parts.intake], [parts.conveyor], [parts.clamp], [parts.scorer], [parts.claw] or [parts.lift]")
		return ""
	case 1:
	default:
		r.at.Errorf(path, "a part is of one kind, but this one has the tables %v: begin another [[parts]] for the second", found)
	}
	return found[0]
}

func (r *reader) intake(p string, in *Intake) {
	r.motor(p+".motor", &in.Motor)
	in.Into = r.part(p+".into", KindConveyor, true)
	if n := len(in.Mouth); n < 3 || n > 20 {
		r.at.Errorf(p+".mouth", "a mouth has 3 to 20 corners, this one %d: write [[\"200 mm\", \"-120 mm\"], [\"300 mm\", \"-120 mm\"], ...]", n)
		return
	}
	if !in.Mouth.Simple() || math.Abs(in.Mouth.Area()) < 1e-5 {
		r.at.Errorf(p+".mouth", "this mouth has no area or crosses itself: write its corners in order around it")
	}
	if fastest := r.fastest(in.Powered) * in.Radius; in.Speed > fastest {
		r.at.Errorf(p+".speed", "its rollers turn at %.0f mm/s at most, so it would never catch: write less, or change motor, gear or radius", fastest*1000)
	}
}

// fastest is the free speed at the output in rad/s.
func (r *reader) fastest(p Powered) float64 {
	if p.Motor < 0 {
		return math.Inf(1)
	}
	return r.out.Motors[p.Motor].FreeSpeed / p.Gear
}

func (r *reader) piston(p string, o *Piston) {
	if r.out.Air == nil {
		r.at.Errorf(p, "a piston needs air, and this robot has none: add a table [air] with volume = \"400 ml\"")
	}
	if o.Spring == 0 && !o.Assist {
		r.at.Errorf(p+".spring", "without a spring the piston never comes back: write \"8 N\"")
	}
}

func (r *reader) clamp(p string, c *Clamp) {
	switch given := r.at.Has(p + ".piston"); {
	case c.Normal == 0 && !given:
		r.piston(p, &c.Piston)
	case c.Normal == 0:
		r.piston(p+".piston", &c.Piston)
	case given:
		r.at.Errorf(p+".force", "a clamp has a piston or a force of its own, not both: leave one out")
	}
}

func (r *reader) scorer(p string, s *Scorer) {
	s.From = r.part(p+".from", KindConveyor, true)
	s.Clamp = r.part(p+".clamp", KindClamp, false)
	s.Lift = r.carrier(p + ".lift")
}

func (r *reader) claw(p string, c *Claw) {
	r.piston(p+".piston", &c.Piston)
	c.Lift = r.carrier(p + ".lift")
	c.Gives = r.part(p+".gives", KindConveyor, false)
}

// carrier is the lift that a part rides on: only the one it names.
func (r *reader) carrier(path string) int {
	if r.at.Text(path) == "" {
		return -1
	}
	return r.part(path, KindLift, false)
}
