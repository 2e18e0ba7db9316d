package robotfile

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
	if n := len(r.file.Parts); n > maxParts {
		r.at.Errorf("parts", "%d parts are more than the %d a robot may have", n, maxParts)
		return
	}
	for i, f := range r.file.Parts { // names and kinds first: parts refer to each other in any order
		p := fmt.Sprintf("parts[%d]", i)
		r.name(p+".name", "part", f.Name, r.parts)
		r.parts, r.kinds = append(r.parts, f.Name), append(r.kinds, r.kind(p, f))
	}
	for i, f := range r.file.Parts {
		p := fmt.Sprintf("parts[%d].", i) + string(r.kinds[i])
		part := Part{Name: f.Name, Kind: r.kinds[i]}
		switch part.Kind {
		case KindIntake:
			part.Intake = r.intake(p, f.Intake)
		case KindConveyor:
			part.Conveyor = r.conveyor(p, f.Conveyor)
		case KindClamp:
			part.Clamp = r.clamp(p, f.Clamp)
		case KindScorer:
			part.Scorer = r.scorer(p, f.Scorer)
		case KindClaw:
			part.Claw = r.claw(p, f.Claw)
		case KindLift:
			part.Lift = r.lift(p, f.Lift)
		}
		r.out.Parts = append(r.out.Parts, part)
	}
}

// kind is that of the one table that a part has.
func (r *reader) kind(path string, f partFile) Kind {
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

func (r *reader) powered(p string, f poweredFile, radius float64) Powered {
	return Powered{
		Motor:      r.motor(p+".motor", f.Motor),
		Count:      f.Count,
		Gear:       f.Gear,
		Efficiency: f.Efficiency,
		Radius:     radius,
		Inertia:    float64(f.Inertia),
	}
}

func (r *reader) intake(p string, f *intakeFile) *Intake {
	o := &Intake{
		Powered: r.powered(p, f.poweredFile, float64(f.Radius)),
		Facing:  float64(f.Direction),
		Angle:   float64(f.Angle),
		Speed:   float64(f.Speed),
		Into:    r.part(p+".into", f.Into, KindConveyor, true),
	}
	if len(f.Mouth) < 3 || len(f.Mouth) > 20 {
		r.at.Errorf(p+".mouth", "a mouth has 3 to 20 corners, this one %d: write [[\"200 mm\", \"-120 mm\"], [\"300 mm\", \"-120 mm\"], ...]", len(f.Mouth))
		return o
	}
	for _, corner := range f.Mouth {
		o.Mouth = append(o.Mouth, corner.vec())
	}
	if !o.Mouth.Simple() || math.Abs(o.Mouth.Area()) < 1e-5 {
		r.at.Errorf(p+".mouth", "this mouth has no area or crosses itself: write its corners in order around it")
	}
	if fastest := r.fastest(o.Powered) * o.Radius; o.Speed > fastest {
		r.at.Errorf(p+".speed", "its rollers turn at %.0f mm/s at most, so it would never catch: write less, or mend motor, gear and radius", fastest*1000)
	}
	return o
}

// fastest is the free speed at the output in rad/s.
func (r *reader) fastest(p Powered) float64 {
	if p.Motor < 0 {
		return math.Inf(1)
	}
	return r.out.Motors[p.Motor].FreeSpeed / p.Gear
}

func (r *reader) conveyor(p string, f *conveyorFile) *Conveyor {
	return &Conveyor{
		Powered: r.powered(p, f.poweredFile, float64(f.Radius)),
		Length:  float64(f.Length),
		Slots:   f.Slots,
		Exit:    f.Exit.vec(),
		Out:     f.Out.pose(f.Direction),
		Load:    float64(f.Load),
	}
}

func (r *reader) piston(p string, f pistonFile) Piston {
	if r.file.Air == nil {
		r.at.Errorf(p, "a piston needs air, and this robot has none: add a table [air] with volume = \"400 ml\"")
	}
	o := Piston{
		Bore:   float64(f.Bore),
		Stroke: float64(f.Stroke),
		Spring: float64(f.Spring),
		Assist: f.Assist,
		Time:   float64(f.Time),
		Tubing: float64(f.Tubing),
	}
	if o.Spring == 0 && !o.Assist {
		r.at.Errorf(p+".spring", "without a spring the piston never comes back: write \"8 N\"")
	}
	return o
}

func (r *reader) clamp(p string, f *clampFile) *Clamp {
	o := &Clamp{
		At:       f.At.pose(f.Direction),
		Offset:   float64(f.Offset),
		Angle:    float64(f.Angle),
		Softness: f.Softness,
		Grip:     f.Grip,
		Shut:     f.Shut,
		Normal:   float64(f.Force),
	}
	switch {
	case f.Force == 0 && f.Piston == nil:
		o.Piston = r.piston(p, pistonFile{Bore: 0.01, Stroke: 0.025, Spring: 8, Time: 0.12})
	case f.Force == 0:
		o.Piston = r.piston(p+".piston", *f.Piston)
	case f.Piston != nil:
		r.at.Errorf(p+".force", "a clamp has a piston or a force of its own, not both: leave one out")
	default:
		o.Piston = Piston{Time: 0.12}
	}
	return o
}

func (r *reader) scorer(p string, f *scorerFile) *Scorer {
	return &Scorer{
		From:     r.part(p+".from", f.From, KindConveyor, true),
		Clamp:    r.part(p+".clamp", f.Clamp, KindClamp, false),
		At:       f.At.pose(f.Direction),
		Offset:   float64(f.Offset),
		Angle:    float64(f.Angle),
		Softness: f.Softness,
		Crooked:  float64(f.Crooked),
		Lift:     r.carrier(p+".lift", f.Lift),
		Reach:    float64(f.Reach),
	}
}

func (r *reader) claw(p string, f *clawFile) *Claw {
	return &Claw{
		At:     f.At.pose(f.Direction),
		Offset: float64(f.Offset),
		Piston: r.piston(p+".piston", f.Piston),
		Lift:   r.carrier(p+".lift", f.Lift),
		Reach:  float64(f.Reach),
		Gives:  r.part(p+".gives", f.Gives, KindConveyor, false),
	}
}

// carrier is the lift that a part rides on: only the one it names.
func (r *reader) carrier(path, name string) int {
	if name == "" {
		return -1
	}
	return r.part(path, name, KindLift, false)
}
