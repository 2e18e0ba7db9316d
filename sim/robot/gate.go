package robot

import (
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/internal/base/units"
)

// KindGate is the kind of a part with a table [parts.gate].
const KindGate Kind = "gate"

// Gate is a flap in a conveyor: open, it bars the belt, and what the belt carries against it leaves there.
type Gate struct {
	On    int     `toml:"on" refer:"part"`                                     // the conveyor
	Along float64 `toml:"along" unit:"m" need:"'350 mm'" min:"0 mm" max:"3 m"` // where on it
	// robot frame: where and in which direction pieces leave
	Out geom.Pose `toml:"out,direction" unit:"m" default:"90 deg" min:"-1.5 m" max:"1.5 m"`
	// the conveyor that takes what leaves, -1: the floor
	Into   int    `toml:"into" refer:"part"`
	Piston Piston `toml:"piston"`
	Motor  *Flap  `toml:"motor"` // nil: a piston
	Open   bool   `toml:"open"`  // starts open

	At geom.Pose // where it stands, robot frame, and the way that pieces leave
}

// Flap is a gate's leaf on a motor, which drives it from one stop to the other and brakes there.
type Flap struct {
	Powered
	Swing float64 `toml:"swing" unit:"rad" default:"60 deg" min:"5 deg" max:"180 deg"` // from stop to stop
	Volts float64 `toml:"volts" unit:"V" default:"6 V" min:"0.5 V" max:"24 V"`         // while it swings
	// Coulomb, of its bearing
	Friction float64 `toml:"friction" unit:"N m" default:"0.01 N m" min:"0 N m" max:"10 N m"`
}

func (g *Gate) read(r *reader, p string) {
	g.On = r.part(p+".on", KindConveyor, true)
	g.readOut(r, p)
	if g.On >= 0 {
		r.onBelt(p+".along", g.Along, g.On)
		g.stand(r.out)
	}
	switch given := r.at.Has(p + ".piston"); {
	case g.Motor != nil && given:
		r.at.Errorf(p+".motor", "a gate has a piston or a motor, not both: leave one out")
	case g.Motor != nil:
		r.motor(p+".motor.motor", &g.Motor.Motor)
	case given:
		r.piston(p+".piston", &g.Piston)
	default:
		r.piston(p, &g.Piston)
	}
}

// stand finds where the gate stands.
func (g *Gate) stand(r *Robot) {
	at := r.Parts[g.On].Conveyor.Place(g.Along)
	g.At = geom.Pose{X: at.X, Y: at.Y, Heading: g.Out.Heading}
	if g.Into >= 0 {
		to := r.Parts[g.Into].Conveyor.Exit
		g.At.Heading = portable.Atan2(to.Y-at.Y, to.X-at.X)
	}
}

// readOut reads where pieces go: to a place of the floor, or onto another conveyor.
func (g *Gate) readOut(r *reader, p string) {
	out, into := r.at.Has(p+".out"), r.at.Text(p+".into")
	if into == "" || into == "none" {
		g.Into = -1
		if !out {
			r.at.Errorf(p, `say where thrown-out pieces go: write out = ["0 mm", "300 mm"], a place beside the robot, or `+
				`into = "bin", another conveyor`)
		}
		return
	}
	g.Into = r.part(p+".into", KindConveyor, true)
	switch {
	case out:
		r.at.KeyErrorf(p+".out", "pieces go to one place: leave out or into out")
	case g.Into == g.On && g.On >= 0:
		r.at.Errorf(p+".into", "a gate throws pieces off its conveyor: name another one, or write out = [x, y]")
	}
}

// Note is where it is and what moves it.
func (g *Gate) Note(r *Robot, in units.System) string {
	by, to := "a piston", "the floor"
	if g.Motor != nil {
		by = "a motor"
	}
	if g.Into >= 0 {
		to = "bot." + r.Parts[g.Into].Name
	}
	return in.Sprintf(", on bot.%s, %.0f mm along, moved by %s, throws out onto %s", r.Parts[g.On].Name, g.Along, by, to)
}
