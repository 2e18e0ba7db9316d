package viewmodel

import (
	"context"
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/app/alongside"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/report"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/render/scene"
	"chalkfield/scripting"
)

// Other is what is run beside each rehearsal, on the same field: another routine, another seed, or a record.
type Other struct {
	Name    string
	Routine *scripting.Program // nil: the same
	Seed    *uint64            // nil: the same
	Record  *record.Record     // instead of both
	Setup   *rehearse.Setup    // instead of all
}

// OtherRun is its run.
type OtherRun struct {
	*Run
	Name   string
	Mounts []scene.Mount // of its robots
	Parts  float64       // s: when the robots under test are first farther apart than alongside.Usual; +Inf: never
}

// beside runs it for a finished run; nil without one.
func (o *Other) beside(ctx context.Context, run *Run) (*OtherRun, error) {
	if o == nil {
		return nil, nil
	}
	setup, rec := run.Setup, o.Record
	var err error
	if rec != nil {
		if setup, err = rehearse.SetupOf(rec); err != nil {
			return nil, fmt.Errorf("beside it, %s: %w", o.Name, err)
		}
	} else {
		if o.Setup != nil {
			setup = *o.Setup
		}
		setup.Entrants = slices.Clone(setup.Entrants)
		if o.Routine != nil {
			setup.Entrants[0].Routine, setup.Entrants[0].Start = o.Routine, nil
		}
		if o.Seed != nil {
			setup.Seed = *o.Seed
		}
		if rec, err = rehearseWhole(ctx, setup, func(float64) {}); err != nil {
			return nil, fmt.Errorf("beside it, %s: %w", o.Name, err)
		}
	}
	other := NewRun(setup, rec, Source{})
	out := &OtherRun{Run: other, Name: o.Name, Parts: parts(run, other)}
	for _, e := range setup.Entrants {
		out.Mounts = append(out.Mounts, scene.MountOf(e.Robot))
	}
	return out, nil
}

// parts is when two runs' robots under test are first apart by more than is usual for a log.
func parts(a, b *Run) float64 {
	limits := alongside.Usual
	for i := range min(len(a.Record.Samples), len(b.Record.Samples)) {
		one, is := a.Index.Robot(0, i)
		two, too := b.Index.Robot(0, i)
		if !is || !too {
			break
		}
		p, q := one.True, two.True
		if math.Hypot(p[0]-q[0], p[1]-q[1]) > limits.Place || math.Abs(geom.WrapAngle(p[2]-q[2])) > limits.Heading {
			return a.Record.Samples[i].T
		}
	}
	return math.Inf(1)
}

// PartsWords say when the two part.
func (o *OtherRun) PartsWords() string {
	if math.IsInf(o.Parts, 1) {
		return "they stay within 50 mm and 5 deg of each other"
	}
	return fmt.Sprintf("they part by more than 50 mm or 5 deg at %.2f s", o.Parts)
}

// Table has, rule by rule, what the side of the robot under test gets in a run and in the one beside it.
func (o *OtherRun) Table(run *Run) *report.Table {
	t := &report.Table{Columns: []report.Column{{Name: "rule"}, {Name: "this run", Number: true},
		{Name: o.Name, Number: true}}}
	own, others := run.ownCells(), o.ownCells()
	for i, row := range run.Record.Sheet.Rows {
		other := "-"
		if i < len(others) {
			other = others[i]
		}
		t.Add(row.Rule, own[i], other)
	}
	total := t.Add("total", run.ownTotal(), o.ownTotal())
	total.Total = true
	return t
}

// ownCells are the score sheet's rows for the side of the robot under test.
func (r *Run) ownCells() []string {
	var cells []string
	for i := range r.Record.Sheet.Rows {
		cells = append(cells, r.Record.Sheet.Rows[i].Cells(len(r.Record.Sheet.Sides))[r.ownSide()])
	}
	return cells
}

func (r *Run) ownTotal() string {
	if points := r.Record.Sheet.Points(); r.ownSide() < len(points) {
		return points[r.ownSide()]
	}
	return "-"
}

func (r *Run) ownSide() int { return max(r.Record.Header.Robots[0].Side, 0) }

// beside is what is run beside each rehearsal: as it was chosen in the window, else as the command line named it.
func (d *Model) beside() *Other {
	if d.laid != nil {
		return d.laid
	}
	return d.Other
}

// Compares is the run that the one shown is compared with, and what it is called: the one beside it, or the one before.
func (d *Model) Compares() (run *Run, words string) {
	switch {
	case d.Now != nil && d.Now.Other != nil:
		return d.Now.Other.Run, d.Now.Other.Name
	case d.Before != nil:
		return d.Before, "the run before"
	}
	return nil, ""
}
