package robot

import (
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// KindClamp is the kind of a part with a table [parts.clamp].
const KindClamp Kind = "clamp"

// Clamp takes a pushable goal by a piston, or by a force of its own.
type Clamp struct {
	// robot frame: where the goal's centre sits once held, heading: outward direction of the mouth
	At geom.Pose `toml:"at,direction" unit:"m" need:"['-330 mm', '0 mm']" default:"180 deg" min:"-1.5 m" max:"1.5 m"`
	// of the goal from At at which half of the tries succeed
	Offset float64 `toml:"offset" unit:"m" default:"35 mm" min:"1 mm" max:"500 mm"`
	// the same for that between the goal's nearest face and the mouth
	Angle float64 `toml:"angle" unit:"rad" default:"14 deg" min:"0.1 deg" max:"180 deg"`
	// width of the transition as a share of Offset and Angle; 0: a sharp edge
	Softness float64 `toml:"softness" default:"0.2" min:"0" max:"1"`
	Piston   Piston  `toml:"piston"`
	Normal   float64 `toml:"force" unit:"N" min:"0.01 N" max:"2000 N" zero:"a piston"` // grip without air
	// friction coefficient of jaw on goal: holding force = Grip x piston force
	Grip float64 `toml:"grip" default:"0.6" min:"0.01" max:"5"`
	Shut bool    `toml:"shut"` // starts shut
}

func (c *Clamp) read(r *reader, p string) {
	switch given := r.at.Has(p + ".piston"); {
	case c.Normal == 0 && !given:
		r.piston(p, &c.Piston)
	case c.Normal == 0:
		r.piston(p+".piston", &c.Piston)
	case given:
		r.at.Errorf(p+".force", "a clamp has a piston or a force of its own, not both: leave one out")
	}
}

// Note is how exactly it must be placed.
func (c *Clamp) Note(_ *Robot, in units.System) string {
	return in.Sprintf(", half of the tries succeed at %.0f mm or %.0f deg off", c.Offset, geom.Degrees(c.Angle))
}
