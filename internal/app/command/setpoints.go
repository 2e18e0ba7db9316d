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

// setpointFlags write a rehearsal's plan as a table. Beside a log they read one: the table is then what the real robot
// was to follow.
type setpointFlags struct {
	Setpoints      string `help:"Write the plan as a table that a real robot can follow (.csv, .json, or .h for C); see: chalkfield guide real-robot. With --log: reads the table and says where the real robot left it." placeholder:"FILE"`
	SetpointPeriod string `help:"Time from one of its rows to the next, such as 10ms. Default: 20 ms." name:"setpoint-period" placeholder:"TIME"`
	Replace        bool   `help:"Write over a table of setpoints that was made from other files."`
}

// output is the table that is written, "" where none is.
func (c runCommand) output() string {
	if c.Log != "" {
		return ""
	}
	return c.Setpoints
}

// followed is the table that the real robot was to follow; nil where none is read.
func (c runCommand) followed() (*setpoints.Table, error) {
	switch {
	case c.Setpoints == "" || c.Log == "":
		return nil, nil
	case c.SetpointPeriod != "" || c.Replace:
		return nil, errors.New("with --log the table of --setpoints is read: leave out --setpoint-period and --replace")
	}
	return readPlan(c.Setpoints)
}

// refuseOther refuses to write over a table that came from other files.
func (c runCommand) refuseOther(t *setpoints.Table) error {
	if c.Replace || !isFile(c.Setpoints) {
		return nil
	}
	text, err := atomicfile.Read(c.Setpoints, setpoints.Kind)
	if err != nil {
		return nil // nothing is there, or what cannot be read is told of when it is to be written
	}
	if was, is := setpoints.OriginOf(text); is && !was.Same(t.Made) {
		return fmt.Errorf("--setpoints %s: the table there was made from other files, or another draw: a robot may follow "+
			"it; name another file, or write over it with --replace", c.Setpoints)
	}
	return nil
}

// plan makes the table while the rehearsal runs; nil where none is wanted.
func (c runCommand) plan(setup rehearse.Setup) (*setpoints.Plan, error) {
	f := c.setpointFlags
	period := setpoints.UsualPeriod
	if err := quantity("--setpoint-period", "s", f.SetpointPeriod, true, &period); err != nil {
		return nil, err
	}
	switch {
	case f.Setpoints == "" && f.SetpointPeriod != "":
		return nil, errors.New("--setpoint-period is about a table of setpoints: name it with --setpoints plan.csv")
	case f.Setpoints == "" && f.Replace:
		return nil, errors.New("--replace is about a table of setpoints: name it with --setpoints plan.csv")
	case c.output() == "":
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
	return table, c.refuseOther(table)
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
	return s.tell(report.Setpoints(s.units, t, filepath.Base(c.Thing)), c.JSON)
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
