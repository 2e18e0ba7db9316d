package robot

import (
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// KindScorer is the kind of a part with a table [parts.scorer].
const KindScorer Kind = "scorer"

// Scorer moves a piece from the conveyor's end into a goal.
type Scorer struct {
	// the conveyor
	From int `toml:"from" refer:"part"`
	// the clamp whose goal it fills, -1: fixed goals only
	Clamp int `toml:"clamp" refer:"part"`
	// robot frame: where pieces leave
	At geom.Pose `toml:"at,direction" unit:"m" need:"['-250 mm', '0 mm']" default:"180 deg" min:"-1.5 m" max:"1.5 m"`
	// of the goal at which half of the pieces go in
	Offset   float64 `toml:"offset" unit:"m" default:"40 mm" min:"1 mm" max:"1 m"`
	Angle    float64 `toml:"angle" unit:"rad" default:"25 deg" min:"0.1 deg" max:"180 deg"`
	Softness float64 `toml:"softness" default:"0.2" min:"0" max:"1"`
	// offset beyond which a piece that goes in lands crooked
	Crooked float64 `toml:"crooked" unit:"m" default:"25 mm" min:"0 mm" max:"1 m"`
	// that carries it, -1: at floor height
	Lift int `toml:"lift" refer:"part"`
	// fixed goals no farther than this from At
	Reach float64 `toml:"reach" unit:"m" default:"250 mm" min:"1 mm" max:"2 m"`
}

func (s *Scorer) read(r *reader, p string) {
	s.From = r.part(p+".from", KindConveyor, true)
	s.Clamp = r.part(p+".clamp", KindClamp, false)
	s.Lift = r.carrier(p + ".lift")
}

// Note is how exactly it must be placed.
func (s *Scorer) Note(_ *Robot, in units.System) string {
	return in.Sprintf(", half of the pieces go in at %.0f mm or %.0f deg off", s.Offset, geom.Degrees(s.Angle))
}
