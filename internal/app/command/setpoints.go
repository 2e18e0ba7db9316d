package command

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/report"
	"chalkfield/internal/app/setpoints"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/record"
)

// setpointFlags write a rehearsal's plan as a table.
type setpointFlags struct {
	Setpoints      string `help:"Write the plan as a table that a real robot can follow (.csv, .json, or .h for C); see: chalkfield guide real-robot." placeholder:"FILE"`
	SetpointPeriod string `help:"Time from one of its rows to the next, such as 10ms. Default: 20 ms." name:"setpoint-period" placeholder:"TIME"`
}

// plan makes the table while the rehearsal runs; nil where none is wanted.
func (f setpointFlags) plan(setup rehearse.Setup) (*setpoints.Plan, error) {
	period := setpoints.UsualPeriod
	if err := quantity("--setpoint-period", "s", f.SetpointPeriod, true, &period); err != nil {
		return nil, err
	}
	switch {
	case f.Setpoints == "" && f.SetpointPeriod != "":
		return nil, errors.New("--setpoint-period is about a table of setpoints: name it with --setpoints plan.csv")
	case f.Setpoints == "":
		return nil, nil
	}
	plan, err := setpoints.NewPlan(setup, period)
	if err != nil {
		return nil, fmt.Errorf("--setpoints %s: %w", f.Setpoints, err)
	}
	return plan, nil
}

// tableOf is the table of a plan, nil without one. A record has no files of a program outside: the command names them.
func (c runCommand) tableOf(plan *setpoints.Plan, rec *record.Record) (*setpoints.Table, error) {
	if plan == nil {
		return nil, nil
	}
	table, err := plan.Table(rec)
	if err != nil {
		return nil, err
	}
	for _, path := range c.programFiles() {
		text, err := os.ReadFile(path)
		if err != nil {
			return nil, err
		}
		table.Made.Add("program", filepath.Base(path), text)
	}
	return table, nil
}

// writeSetpoints writes a table in the form that the file's ending names.
func writeSetpoints(path string, t *setpoints.Table) error {
	return atomicfile.Write(path, func(w io.Writer) error {
		switch strings.ToLower(filepath.Ext(path)) {
		case ".json":
			return t.WriteJSON(w)
		case ".h":
			return t.WriteHeader(w, path)
		}
		return t.WriteCSV(w)
	})
}

// isPlan reports whether a file is a table of setpoints, by its ending and how it begins.
func isPlan(path string) bool {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".json", ".h":
		return true // nothing else that is shown ends so
	case ".csv":
		return bytes.Contains(beginning(path), []byte(setpoints.Words))
	}
	return false
}

// showPlan tells what a table of setpoints is.
func (c showCommand) showPlan(s streams) error {
	if c.Picture != "" {
		return fmt.Errorf("--picture: a plan is drawn beside its rehearsal: chalkfield open ROUTINE --setpoints %s", c.Thing)
	}
	t, err := readPlan(c.Thing)
	if err != nil {
		return err
	}
	return s.tell(report.Setpoints(t, filepath.Base(c.Thing)), c.JSON)
}

// readPlan reads a table of setpoints that the command line names.
func readPlan(path string) (*setpoints.Table, error) {
	if strings.EqualFold(filepath.Ext(path), ".h") {
		return nil, fmt.Errorf("%s is for a compiler: name the table that was written as .csv or .json", path)
	}
	t, err := setpoints.Read(path)
	var file *fs.PathError
	if errors.As(err, &file) {
		return nil, unreadable(path, err)
	}
	return t, err
}
