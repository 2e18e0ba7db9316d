package robot

import (
	"fmt"

	"chalkfield/internal/base/units"
)

// Optical is the kind of a sensor of: 1 when a piece is before it.
const Optical SensorKind = "optical"

// OpticalSensor sees whether a piece is at a place on a conveyor.
type OpticalSensor struct {
	Timing
	On    int     `toml:"on" refer:"part"`
	Along float64 `toml:"along" unit:"m" need:"'200 mm'" min:"0 mm" max:"3 m"` // the conveyor
}

func (s *OpticalSensor) Part() int { return s.On }

func (s *OpticalSensor) Note(r *Robot) string {
	return fmt.Sprintf(", on bot.%s, %.0f mm along", r.Parts[s.On].Name, s.Along*1000)
}

func (s *OpticalSensor) read(r *reader, p string) {
	s.On = r.part(p+".on", KindConveyor, true)
	if s.On < 0 {
		return
	}
	if belt := r.out.Parts[s.On].Conveyor.Length; s.Along > belt {
		r.at.Errorf(p+".along", "%s is beyond the conveyor: write a value from \"0 mm\" to \"%s\"",
			units.Text(s.Along, "m"), units.Text(belt, "m"))
	}
}
