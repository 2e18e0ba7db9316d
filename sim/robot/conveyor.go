package robot

import (
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// KindConveyor is the kind of a part with a table [parts.conveyor].
const KindConveyor Kind = "conveyor"

// Conveyor carries pieces in order from the intake end to the scoring end.
type Conveyor struct {
	Powered
	// of the sprocket
	Radius float64 `toml:"radius" unit:"m" default:"20 mm" min:"2 mm" max:"200 mm"`
	// of travel
	Length float64 `toml:"length" unit:"m" need:"'450 mm'" min:"20 mm" max:"3 m"`
	// pieces it holds at most
	Slots int `toml:"slots" need:"3" min:"1" max:"20"`
	// robot frame: where pieces leave at the intake end when run backwards
	Exit geom.Vec `toml:"exit" unit:"m" need:"['290 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
	// robot frame: where and in which direction they leave at the far end when there is no scorer
	Out geom.Pose `toml:"out,direction" unit:"m" need:"['-290 mm', '0 mm']" default:"180 deg" min:"-1.5 m" max:"1.5 m"`
	// drag per piece carried
	Load float64 `toml:"load" unit:"N" default:"1 N" min:"0 N" max:"100 N"`
}

func (c *Conveyor) read(r *reader, p string) { r.motor(p+".motor", &c.Motor) }

// Place is where a piece rides that is so many m along, robot frame: on the line from the intake end to the far end.
func (c *Conveyor) Place(along float64) geom.Vec {
	share := along / c.Length
	return geom.Vec{X: c.Exit.X + float64(share*(c.Out.X-c.Exit.X)), Y: c.Exit.Y + float64(share*(c.Out.Y-c.Exit.Y))}
}

// Note is how much it holds.
func (c *Conveyor) Note(_ *Robot, in units.System) string {
	return in.Sprintf(", %.0f mm, holds %d", c.Length, c.Slots)
}
