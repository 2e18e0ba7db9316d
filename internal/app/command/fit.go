package command

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/internal/app/fit"
	"chalkfield/internal/app/logfile"
	"chalkfield/internal/app/report"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/units"
	"chalkfield/render/webpage"
	"chalkfield/sim/robot"
)

type fitCommand struct {
	Robot   string   `arg:"" help:"Robot file (.toml), or the name of an embedded robot."`
	Logs    []string `arg:"" help:"Logs of the real robot (.csv). A folder stands for all in it, * for any letters."`
	Hold    []string `help:"Keys that were weighed or measured and stay as they are. May be repeated." placeholder:"KEY"`
	Columns string   `help:"What the columns of the logs are: \"left V=motor_a, heading deg=imu_z\"." placeholder:"LIST"`
	Out     string   `help:"Write the new robot file here. One that is there is only written over with --write." placeholder:"FILE"`
	Write   bool     `help:"Write over the file of --out, which may be the robot file itself."`
	Report  string   `help:"Write a page that shows every drive, measured and predicted (.html)." placeholder:"FILE"`
	JSON    bool     `help:"Print what was found as JSON." name:"json"`
}

// Help is shown under the flags.
func (fitCommand) Help() string {
	return `Finds the values of the robot file with which the rehearsal drives as the logs say the real robot did, and
how sure each is. What the logs do not tell stays as it is, and is named. Each drive is predicted once by a fit to all
others.

Examples:
  chalkfield fit robot.toml logs --out fitted.toml --report fit.html
  chalkfield fit robot.toml logs/*.csv --hold chassis.mass --hold wheels.radius
  chalkfield fit robot.toml logs --out robot.toml            shows what would change
  chalkfield fit robot.toml logs --out robot.toml --write    changes it

The new file has your comments, order and units; beside each new value stand its 95 % interval and the logs' hash. How
to make logs: chalkfield guide measure. Interrupted, nothing is written.`
}

// Run fits, writes and tells.
func (c fitCommand) Run(ctx context.Context, s streams) error {
	spec, err := c.robot()
	if err != nil {
		return err
	}
	paths, err := logsNamed(c.Logs)
	if err != nil {
		return err
	}
	there, err := c.refuse(paths)
	if err != nil {
		return err
	}
	logs, notes, err := c.open(paths)
	if err != nil {
		return err
	}
	bar := progress(s.err, 100)
	found, err := fit.Fit(ctx, spec, logs, fit.Options{Hold: c.Hold, Progress: bar.at})
	bar.clear()
	if err != nil {
		return err
	}
	file, err := found.Into(spec)
	if err != nil {
		return err
	}
	new := &report.NewFile{File: file, Before: spec, Path: c.Out, There: there, Over: c.Write, Notes: notes,
		Doubt: report.Doubt(found)}
	told := report.Fit(s.units, found, new)
	if err := c.keep(found, new, told); err != nil {
		return err
	}
	if err := s.tell(told, c.JSON); err != nil || c.Out == "" || new.Doubt == "" || new.Written() {
		return err
	}
	return fmt.Errorf("%s is not written: %s; to write it all the same, say --write as well", c.Out, new.Doubt)
}

func (c fitCommand) robot() (*robot.Robot, error) {
	if filepath.Ext(c.Robot) != "" && filepath.Ext(c.Robot) != robot.Suffix {
		return nil, fmt.Errorf("%s: a robot file's name ends in .toml; it comes first, then the logs", c.Robot)
	}
	return findRobot(c.Robot)
}

// logsNamed are the files that arguments name: a folder all .csv in it, a name with * all that match, as a shell would
// have it where there is one.
func logsNamed(args []string) ([]string, error) {
	var paths []string
	for _, arg := range args {
		names := []string{arg}
		info, err := os.Stat(arg)
		switch {
		case err == nil && info.IsDir():
			if names, _ = filepath.Glob(filepath.Join(escaped(arg), "*.csv")); names == nil {
				return nil, fmt.Errorf("%s: there is no log in this folder: a log's name ends in .csv", arg)
			}
		case err != nil && strings.ContainsAny(arg, "*?["):
			if names, err = filepath.Glob(arg); err != nil || names == nil {
				return nil, fmt.Errorf("%s: no file has such a name", arg)
			}
		}
		if err != nil && filepath.Ext(arg) == "" && len(names) == 1 && names[0] == arg {
			return nil, fmt.Errorf("%s: there is no such folder", arg)
		}
		for _, name := range names {
			if ext := strings.ToLower(filepath.Ext(name)); ext != ".csv" {
				return nil, fmt.Errorf("%s: a log's name ends in .csv; the robot file comes first, then the logs", name)
			}
			if !slices.Contains(paths, filepath.Clean(name)) {
				paths = append(paths, filepath.Clean(name))
			}
		}
	}
	return paths, nil
}

// escaped is a folder's name in a pattern.
func escaped(folder string) string {
	return strings.NewReplacer("*", "[*]", "?", "[?]", "[", "[[]").Replace(folder)
}

// refuse finds outputs that cannot be written before anything is fitted. there is the robot that stands at --out, nil
// if none does.
func (c fitCommand) refuse(logs []string) (there *robot.Robot, err error) {
	switch {
	case c.Hold != nil && len(c.Hold) == 0 || slices.Contains(c.Hold, ""):
		return nil, errors.New("--hold: it is empty: name what was weighed or measured, as in --hold chassis.mass")
	case c.Out == "" && c.Write:
		return nil, errors.New("--write: say with --out which file to write over")
	case c.Out != "" && isFile(c.Out) && filepath.Ext(c.Out) != robot.Suffix:
		return nil, fmt.Errorf("--out %s: a robot file's name ends in .toml", c.Out)
	}
	if err := pageFile.mayBe(c.Report); err != nil {
		return nil, err
	}
	for _, out := range []string{c.Out, c.Report} {
		if out == "" {
			continue
		}
		if err := refuseRead(out, logs); err != nil {
			return nil, err
		}
		if err := foldersExist(out); err != nil {
			return nil, err
		}
	}
	if c.Out == "" || !isFile(c.Out) {
		return nil, nil
	}
	there, err = robot.Load(c.Out)
	switch _, missing := os.Stat(c.Out); {
	case missing != nil:
		return nil, nil
	case err != nil:
		return nil, fmt.Errorf("--out %s: would overwrite what is no robot file: name another file, or take this one away",
			c.Out)
	}
	return there, nil
}

// open reads the logs. What is only a table of volts to play back, or has no rows, is left out, and noted.
func (c fitCommand) open(paths []string) (logs []fit.Input, notes []string, err error) {
	assumed := assumptions{in: map[string][]string{}}
	var tables, empty []string
	for _, path := range paths {
		log, err := logfile.Open(path, c.Columns)
		if errors.Is(err, logfile.ErrEmpty) {
			empty = append(empty, "left out: "+err.Error())
			continue
		}
		var file *fs.PathError
		if errors.As(err, &file) {
			err = unreadable(path, err)
		}
		if err != nil {
			return nil, nil, err
		}
		if isTable(log) {
			tables = append(tables, path)
			continue
		}
		hash, err := hashOf(path)
		if err != nil {
			return nil, nil, unreadable(path, err)
		}
		for _, other := range logs {
			if other.SHA256 == hash {
				return nil, nil, fmt.Errorf("%s and %s are the same log: leave one out", other.Log.Name, path)
			}
		}
		logs = append(logs, fit.Input{Log: log, SHA256: hash})
		assumed.add(path, log.Assumed)
	}
	notes = append(empty, assumed.words(len(logs))...)
	if tables != nil {
		notes = append([]string{left(tables)}, notes...)
	}
	if logs == nil {
		return nil, nil, errors.New(strings.Join(notes, "\n"))
	}
	return logs, notes, nil
}

// isTable reports whether a log has volts alone, as the tables of test drives have.
func isTable(log *logfile.Log) bool {
	return !slices.ContainsFunc(log.Columns, func(c *logfile.Column) bool { return c.Is.SI != "V" })
}

func left(tables []string) string {
	return fmt.Sprintf("left out: %s: only volts, nothing that was measured: that is what to drive, not the log of it",
		strings.Join(tables, ", "))
}

// hashOf is the SHA-256 of a file.
func hashOf(path string) (string, error) {
	file, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer file.Close()
	hash := sha256.New()
	if _, err := io.Copy(hash, file); err != nil {
		return "", err
	}
	return hex.EncodeToString(hash.Sum(nil)), nil
}

// assumptions are what was taken for granted, each with the logs in which it was.
type assumptions struct {
	all []string
	in  map[string][]string
}

func (a *assumptions) add(log string, list []string) {
	for _, words := range list {
		if a.in[words] == nil {
			a.all = append(a.all, words)
		}
		a.in[words] = append(a.in[words], log)
	}
}

// words says each once.
func (a *assumptions) words(logs int) (list []string) {
	for _, words := range a.all {
		where := strings.Join(a.in[words], ", ")
		if n := len(a.in[words]); n == logs && n > 1 {
			where = "in all " + units.Counted(n, "log")
		}
		list = append(list, fmt.Sprintf("assumed: %s (%s)", words, where))
	}
	return list
}

// keep writes the new file, unless it would be written over another, and the page.
func (c fitCommand) keep(found *fit.Result, file *report.NewFile, told *report.Document) error {
	if file.Written() {
		err := atomicfile.Write(c.Out, func(w io.Writer) error { _, err := w.Write(file.Text); return err })
		if err != nil {
			return err
		}
	}
	if c.Report == "" {
		return nil
	}
	return atomicfile.Write(c.Report, func(w io.Writer) error { return webpage.WriteFit(w, told, found) })
}
