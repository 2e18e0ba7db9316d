package robot

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// KindIntake is the kind of a part with a table [parts.intake].
const KindIntake Kind = "intake"

// Intake draws pieces through a mouth.
type Intake struct {
	Powered
	// of the rollers
	Radius float64 `toml:"radius" unit:"m" default:"25 mm" min:"2 mm" max:"200 mm"`
	// robot frame: a piece whose centre is in it is caught if the rollers turn inwards
	Mouth geom.Polygon `toml:"mouth" unit:"m" need:"[['200 mm', '-120 mm'], ['300 mm', '-120 mm'], ['300 mm', '120 mm'], ['200 mm', '120 mm']]" min:"-1.5 m" max:"1.5 m"`
	// out of the mouth, its axis
	Facing float64 `toml:"direction" unit:"rad" min:"-360 deg" max:"360 deg"`
	// greatest between the piece's approach and the mouth's axis
	Angle float64 `toml:"angle" unit:"rad" default:"60 deg" min:"0 deg" max:"180 deg"`
	// least roller surface speed that catches
	Speed float64 `toml:"speed" unit:"m/s" default:"300 mm/s" min:"0 mm/s" max:"10 m/s"`
	// the conveyor that it feeds
	Into int `toml:"into" refer:"part"`
}

func (in *Intake) read(r *reader, p string) {
	r.motor(p+".motor", &in.Motor)
	in.Into = r.part(p+".into", KindConveyor, true)
	if n := len(in.Mouth); n < 3 || n > 20 {
		r.at.Errorf(p+".mouth", "a mouth has 3 to 20 corners, this one %d: write [[\"200 mm\", \"-120 mm\"], [\"300 mm\", "+
			"\"-120 mm\"], ...]", n)
		return
	}
	if !in.Mouth.Simple() || math.Abs(in.Mouth.Area()) < 1e-5 {
		r.at.Errorf(p+".mouth", "this mouth has no area or crosses itself: write its corners in order around it")
	}
	if fastest := r.fastest(in.Powered) * in.Radius; in.Speed > fastest {
		r.at.Errorf(p+".speed", "its rollers turn at %.0f mm/s at most, so it would never catch: write less, or change "+
			"motor, gear or radius", fastest*1000)
	}
}

// Note is what it can do, for people.
func (in *Intake) Note(*Robot, units.System) string { return "" }
