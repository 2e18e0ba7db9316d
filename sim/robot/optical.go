package robot

import (
	"chalkfield/internal/base/units"
)

// Optical is the kind of a sensor of: 1 when a piece is before it.
const Optical SensorKind = "optical"

// OpticalSensor sees whether a piece is at a place on a conveyor, and may tell what it looks like.
type OpticalSensor struct {
	Timing
	On    int     `toml:"on" refer:"part"`
	Along float64 `toml:"along" unit:"m" need:"'200 mm'" min:"0 mm" max:"3 m"` // the conveyor
	Looks bool    `toml:"tells" default:"presence" words:"thing that it tells: presence, piece"`
	// probability that a look at a piece tells another kind or side of the field's
	Mistakes float64 `toml:"mistakes" min:"0" max:"0.5"`
}

func (s *OpticalSensor) Part() int { return s.On }

func (s *OpticalSensor) Note(r *Robot, in units.System) string {
	tells := ""
	if s.Looks {
		tells = ", tells kind and side"
	}
	return in.Sprintf(", on bot.%s, %.0f mm along%s", r.Parts[s.On].Name, s.Along, tells)
}

func (s *OpticalSensor) read(r *reader, p string) {
	if s.Mistakes > 0 && !s.Looks {
		r.at.KeyErrorf(p+".mistakes", "a sensor that tells only whether a piece is there makes no mistakes: write "+
			"tells = \"piece\" too, or leave mistakes out")
	}
	if s.On = r.part(p+".on", KindConveyor, true); s.On >= 0 {
		r.onBelt(p+".along", s.Along, s.On)
	}
}

// onBelt notes an error at a place that is not on a conveyor.
func (r *reader) onBelt(path string, along float64, conveyor int) {
	if belt := r.out.Parts[conveyor].Conveyor.Length; along > belt {
		r.at.Errorf(path, "%s is beyond the conveyor: write a value from \"0 mm\" to \"%s\"",
			units.Text(along, "m"), units.Text(belt, "m"))
	}
}
