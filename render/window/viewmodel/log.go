package viewmodel

import (
	"chalkfield/internal/app/alongside"
	"chalkfield/internal/app/logfile"
	"chalkfield/internal/app/report"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

// Log is a log of the real robot that rehearsals are laid beside.
type Log struct {
	File *logfile.Log
	alongside.Options
}

// RealRun is the real robot's run beside a rehearsal.
type RealRun struct {
	*alongside.Pair      // nil: the log does not fit
	Run             *Run // of the trace; nil as well
	Err             error
}

// beside lays the log beside a finished run; nil without one.
func (l *Log) beside(run *Run) *RealRun {
	if l == nil || run == nil {
		return nil
	}
	spec := run.Spec(0)
	if spec == nil {
		return nil
	}
	pair, err := alongside.Lay(run.Record, spec, l.File, l.Options)
	if err != nil {
		return &RealRun{Err: err}
	}
	return &RealRun{Pair: pair, Run: NewRun(run.Setup, pair.Trace, Source{})}
}

// Words say where the log leaves the rehearsal, or why it does not fit.
func (r *RealRun) Words(in units.System) string {
	if r.Err != nil {
		return r.Err.Error()
	}
	return report.Departure(in, r.Pair)
}

// Lines are those and where it is farthest.
func (r *RealRun) Lines(in units.System) []string {
	if r.Err != nil {
		return []string{r.Err.Error()}
	}
	return []string{r.Log + " " + r.Words(in), report.Farthest(in, r.Pair)}
}

// RealTrace is the real run as a record, nil where there is none.
func (r *Run) RealTrace() *record.Record {
	if r.Real == nil || r.Real.Run == nil {
		return nil
	}
	return r.Real.Run.Record
}

// RealDeparts is when it departs from the rehearsal, 0 where it does not.
func (r *Run) RealDeparts() float64 {
	if r.RealTrace() == nil {
		return 0
	}
	return r.Real.DepartsAt()
}

// RealSeries are a curve's values in the log, with the run that they belong to; nil where the log has none.
func (r *Run) RealSeries(robot int, s Signal, c Curve) (*Run, []float64) {
	if robot != 0 || c.Wanted || r.RealTrace() == nil {
		return nil, nil
	}
	values := r.Real.Run.Series(robot, s, c)
	for _, v := range values {
		if v == v { // NaN is what the log does not tell
			return r.Real.Run, values
		}
	}
	return nil, nil
}

// tellReal says how the real run lies beside the rehearsal that is shown now, unless that went wrong.
func (d *Model) tellReal() {
	switch real := d.Now.Real; {
	case real == nil || d.Notice.Bad:
	case real.Err != nil:
		d.Warn(real.Words(d.Units))
	default:
		d.Say(d.Notice.Text + "\nThe log " + real.Log + " " + real.Words(d.Units))
	}
}
