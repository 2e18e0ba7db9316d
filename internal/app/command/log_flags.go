package command

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"chalkfield/internal/app/alongside"
	"chalkfield/internal/app/logfile"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

// logFlags lay a log of the real robot beside a rehearsal.
type logFlags struct {
	Log        string `help:"Lay a log (.csv) of the real robot's run beside it: where do the two part?" placeholder:"FILE"`
	LogAt      string `help:"Time of the log's clock at which the routine begins, such as 1.35s. Default: found." name:"log-at" placeholder:"TIME"`
	LogPlace   string `help:"How far the log may be from the rehearsal. Default: 50 mm." name:"log-place" placeholder:"LENGTH"`
	LogHeading string `help:"How far it may be turned from it. Default: 5 deg." name:"log-heading" placeholder:"ANGLE"`
	Columns    string `help:"What the log's columns are, above its log.toml: \"left V=motor_a, heading deg=imu_z\"." placeholder:"LIST"`
}

// read reads the log and says how it is to be laid; nil without one.
func (f logFlags) read() (*logfile.Log, alongside.Options, error) {
	o := alongside.Options{Limits: alongside.Usual}
	if f.Log == "" {
		return nil, o, f.useless()
	}
	if !strings.EqualFold(filepath.Ext(f.Log), ".csv") {
		return nil, o, fmt.Errorf("--log %s: a log is a table, whose name ends in .csv; `chalkfield guide logs` says what "+
			"is in it", f.Log)
	}
	var at float64
	if err := errors.Join(quantity("--log-at", "s", f.LogAt, false, &at),
		quantity("--log-place", "m", f.LogPlace, true, &o.Place),
		quantity("--log-heading", "rad", f.LogHeading, true, &o.Heading)); err != nil {
		return nil, o, err
	}
	if f.LogAt != "" {
		o.At = &at
	}
	log, err := openLog(f.Log, f.Columns)
	return log, o, err
}

// useless refuses what is about a log where none is given.
func (f logFlags) useless() error {
	for _, flag := range []struct{ name, value string }{{"--log-at", f.LogAt}, {"--log-place", f.LogPlace},
		{"--log-heading", f.LogHeading}, {"--columns", f.Columns}} {
		if flag.value != "" {
			return fmt.Errorf("%s is about a log: name it with --log run.csv", flag.name)
		}
	}
	return nil
}

// quantity reads a flag with a unit, if it is given.
func quantity(flag, si, text string, positive bool, to *float64) error {
	if text == "" {
		return nil
	}
	value, _, err := units.Parse(si, text)
	switch {
	case err != nil:
		return fmt.Errorf("%s: %w", flag, err)
	case positive && value <= 0:
		return fmt.Errorf("%s: must be more than 0", flag)
	}
	*to = value
	return nil
}

// refuseOverwriting makes sure that no output is the log, or what says what its columns are.
func (f logFlags) refuseOverwriting(outputs ...string) error {
	if f.Log == "" {
		return nil
	}
	var wrong error
	for _, output := range outputs {
		if output != "" {
			read := []string{f.Log, filepath.Join(filepath.Dir(f.Log), logfile.SettingsName)}
			wrong = errors.Join(wrong, refuseRead(output, read))
		}
	}
	return wrong
}

// replayOfLog is a log of the first robot's routine as a record to replay: laid on the rehearsal of that routine alone,
// without chance, which tells where it starts and when.
func replayOfLog(path string, setup rehearse.Setup) (*record.Record, error) {
	log, err := openLog(path, "")
	if err != nil {
		return nil, err
	}
	setup.Entrants, setup.Nominal, setup.Seed = setup.Entrants[:1], true, 1
	rec, err := rehearse.Run(context.Background(), setup)
	if err != nil {
		return nil, err
	}
	spec := setup.Entrants[0].Robot
	pair, err := alongside.Lay(rec, spec, log, alongside.Options{Limits: alongside.Usual})
	if err != nil {
		return nil, err
	}
	replay, err := pair.Replay(spec)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return replay, nil
}
