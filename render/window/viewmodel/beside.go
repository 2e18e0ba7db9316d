package viewmodel

import (
	"context"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/assets"
	"chalkfield/internal/app/alongside"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/report"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
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
	Steps  *report.Table // when either came to each step
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
	out := &OtherRun{Run: other, Name: o.Name, Parts: parts(run, other), Steps: steps(run.Record, rec, o.Name)}
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

// steps tells when two runs came to each step: a piece picked up, a goal clamped, a piece scored. The steps of the
// first stand in its order, those that only the other has below.
func steps(a, b *record.Record, name string) *report.Table {
	t := &report.Table{Columns: []report.Column{{Name: "step"}, {Name: "this run", Number: true},
		{Name: name, Number: true}, {Name: "later by", Number: true}}}
	one, two := results.Of(a, 0), results.Of(b, 0)
	for _, step := range one.Steps() {
		if at, ok := two.When(step); ok {
			t.Add(step.Words, fmt.Sprintf("%.2f s", step.T), fmt.Sprintf("%.2f s", at), fmt.Sprintf("%+.2f s", at-step.T+0))
		} else {
			t.Add(step.Words, fmt.Sprintf("%.2f s", step.T), "-", "-")
		}
	}
	for _, step := range two.Steps() {
		if _, ok := one.When(step); !ok {
			t.Add(step.Words, "-", fmt.Sprintf("%.2f s", step.T), "-")
		}
	}
	return t
}

// PartsWords say when the two part.
func (o *OtherRun) PartsWords(in units.System) string {
	place, turn := alongside.Usual.Place, geom.Degrees(alongside.Usual.Heading)
	if math.IsInf(o.Parts, 1) {
		return in.Sprintf("they stay within %.0f mm and %.0f deg of each other", place, turn)
	}
	return in.Sprintf("they part by more than %.0f mm or %.0f deg at %.2f s", place, turn, o.Parts)
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

// LayBeside runs another beside each rehearsal from now on; nil: only what the command line named.
func (d *Model) LayBeside(o *Other) {
	d.laid, d.laidFile = o, ""
	d.Rehearse()
}

// LayFile runs a routine or a record beside: a file, or an embedded routine. A file is read again whenever files are.
func (d *Model) LayFile(path string) {
	other, err := d.otherOf(path)
	if err != nil {
		d.Warn("Not laid beside: " + err.Error())
		return
	}
	d.laid, d.laidFile = other, path
	d.Rehearse()
}

// otherOf reads what is to be run beside.
func (d *Model) otherOf(path string) (*Other, error) {
	o := &Other{Name: filepath.Base(path)}
	var err error
	switch strings.ToLower(filepath.Ext(path)) {
	case ".jsonl":
		if o.Record, err = readRecord(path); err == nil {
			err = d.fits(o.Record)
		}
	case ".lua":
		o.Routine, err = scripting.Load(path)
	default:
		o.Routine, err = scripting.LoadFS(assets.Routines, path+".lua")
	}
	return o, err
}

// fits refuses a record that cannot be shown on the field.
func (d *Model) fits(rec *record.Record) error {
	switch {
	case d.Setup.Field == nil || rec.Header.Field.SHA256 != d.Setup.Field.SHA256:
		return fmt.Errorf("it is of another field, %s: two runs are laid on one", rec.Header.Field.Called())
	case len(rec.Header.Robots) == 0 || len(rec.Samples) == 0:
		return errors.New("it has no robot's run")
	}
	return nil
}

// readLaid reads the file that lies beside again.
func (d *Model) readLaid() {
	if d.laidFile == "" {
		return
	}
	if filepath.Ext(d.laidFile) != "" {
		d.Watch = append(d.Watch, d.laidFile)
	}
	if other, err := d.otherOf(d.laidFile); err == nil { // else the last good one stays
		d.laid = other
	}
}

// LaysBeside is the name of what is chosen to be run beside; "": nothing is.
func (d *Model) LaysBeside() string {
	if o := d.beside(); o != nil {
		return o.Name
	}
	return ""
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
