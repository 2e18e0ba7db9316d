package viewmodel

import (
	"chalkfield/internal/app/report"
	"chalkfield/internal/app/setpoints"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

// Setpoints are a table that is laid over rehearsals.
type Setpoints struct {
	Name  string // of its file
	Table *setpoints.Table
}

// PlannedRun is the table over one rehearsal.
type PlannedRun struct {
	Name  string
	trace *record.Record
	lines [][]string // how the rehearsal keeps to it, in each system of units
}

// beside lays the table over a finished run; nil without one.
func (s *Setpoints) beside(run *Run) *PlannedRun {
	if s == nil || run == nil {
		return nil
	}
	p := &PlannedRun{Name: s.Name, trace: s.Table.Trace(run.Record)}
	for in := range units.Systems {
		p.lines = append(p.lines, report.Beside(units.System(in), "The rehearsal", run.Record, p.trace))
	}
	return p
}

// Trace is the table as a record of one robot, nil where there is none.
func (p *PlannedRun) Trace() *record.Record {
	if p == nil {
		return nil
	}
	return p.trace
}

// Lines say how the rehearsal keeps to the table, and the real run if there is one.
func (p *PlannedRun) Lines(in units.System, real *RealRun) []string {
	if p == nil {
		return nil
	}
	lines := append([]string{"Table: " + p.Name}, p.lines[in]...)
	if real != nil && real.Pair != nil {
		lines = append(lines, report.Beside(in, "The real robot", real.Trace, p.trace)...)
	}
	return lines
}
