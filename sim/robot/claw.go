package robot

import (
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// KindClaw is the kind of a part with a table [parts.claw].
const KindClaw Kind = "claw"

// Claw holds one piece aside.
type Claw struct {
	// robot frame: the mouth when deployed
	At geom.Pose `toml:"at,direction" unit:"m" need:"['280 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
	// farthest piece it takes
	Offset float64 `toml:"offset" unit:"m" default:"60 mm" min:"1 mm" max:"500 mm"`
	Piston Piston  `toml:"piston"` // deploys
	// that carries it, -1: none
	Lift int `toml:"lift" refer:"part"`
	// goals it can put the piece into
	Reach float64 `toml:"reach" unit:"m" default:"200 mm" min:"1 mm" max:"2 m"`
	// the conveyor it can give the piece back to, -1: none
	Gives int `toml:"gives" refer:"part"`
}

func (c *Claw) read(r *reader, p string) {
	r.piston(p+".piston", &c.Piston)
	c.Lift = r.carrier(p + ".lift")
	c.Gives = r.part(p+".gives", KindConveyor, false)
}

// Note is empty: the name of its kind says it.
func (c *Claw) Note(*Robot, units.System) string { return "" }
