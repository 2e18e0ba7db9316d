package sim

import (
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// spinner turns its disc.
type spinner struct{ powered }

func newSpinner(r *Robot, p robot.Part) mechanism {
	return &spinner{newPowered(r, p.Spinner.Powered, p.Spinner.Radius)}
}

func (s *spinner) step(dt float64)            { s.turn(dt, 0) }
func (s *spinner) tick()                      {}
func (s *spinner) do(c robot.Command)         { s.volts = c.Value }
func (s *spinner) repeat(p record.PartSample) { s.volts = p.Volts }

func (s *spinner) look() robot.Status {
	return robot.Status{Value: s.surface(), Volts: s.applied, Amps: s.taken(), Heat: s.line.Heat()}
}

func (s *spinner) sample() record.PartSample {
	return record.PartSample{Volts: record.Round(s.applied), Value: record.Round(s.surface()), Body: -1}
}
