package robot

import "chalkfield/internal/base/units"

// KindSpinner is the kind of a part with a table [parts.spinner].
const KindSpinner Kind = "spinner"

// Spinner is a disc on a motor.
type Spinner struct {
	Powered
	Radius float64 `toml:"radius" unit:"m" default:"30 mm" min:"2 mm" max:"200 mm"`
}

func (s *Spinner) read(r *reader, p string) { r.motor(p+".motor", &s.Motor) }

// Note is its size.
func (s *Spinner) Note(_ *Robot, in units.System) string {
	return in.Sprintf(", a disc of %.0f mm", 2*s.Radius)
}
