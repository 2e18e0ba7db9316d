package check

import (
	"chalkfield/internal/base/geom"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"path/filepath"
	"strconv"
	"strings"

	"chalkfield/internal/app/alongside"
	"chalkfield/internal/app/logfile"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/units"
	"chalkfield/internal/base/wording"
	"chalkfield/sim/robot"
)

// Follows is a log of the real robot that the rehearsal must follow.
type Follows struct {
	File             string   `toml:"file" need:"'run.csv'"`
	alongside.Limits          // place and heading
	At               *float64 `toml:"at" unit:"s"` // of the log's clock, where the routine begins; nil: it is found
	Columns          string   `toml:"columns"`

	log  *logfile.Log
	spec *robot.Robot
}

// validate checks what can be said without the file, and leads its name to it.
func (f *Follows) validate(at *tomlfile.Positions, path, dir string) {
	if f.File != "" && !strings.EqualFold(filepath.Ext(f.File), ".csv") {
		at.Errorf(path+".file", "a log's name ends in .csv")
	}
	for _, limit := range []struct {
		key   string
		value float64
	}{{"place", f.Place}, {"heading", f.Heading}} {
		if limit.value <= 0 {
			at.Errorf(path+"."+limit.key, "must be more than 0")
		}
	}
	f.File = from(dir, f.File)
}

// reads are the files that a log makes a check read.
func (f *Follows) reads() []string {
	return []string{f.File, filepath.Join(filepath.Dir(f.File), logfile.SettingsName)}
}

// flags are those that lay the log beside the rehearsal in the window, with a blank before each; none without a log.
func (f *Follows) flags() string {
	if f == nil {
		return ""
	}
	words := ""
	add := func(flag, value string) { words += " --" + flag + " " + wording.Quoted(value) }
	add("log", f.File)
	add("log-place", units.Text(f.Place, "m"))
	add("log-heading", units.Text(f.Heading, "rad"))
	if f.At != nil {
		add("log-at", strconv.FormatFloat(*f.At, 'f', -1, 64)+"s")
	}
	if f.Columns != "" {
		add("columns", f.Columns)
	}
	return words
}

// read reads the log once for all rehearsals.
func (f *Follows) read(at *tomlfile.Positions, path string, spec *robot.Robot) {
	log, err := logfile.Open(f.File, f.Columns)
	if file := (*fs.PathError)(nil); errors.As(err, &file) {
		err = fmt.Errorf("%s cannot be read: %w", f.File, atomicfile.Cause(err))
	}
	if err != nil {
		at.Errorf(path+".file", "%v", err)
	}
	f.log, f.spec = log, spec
}

// follow holds a rehearsal to a log: a departure is noted where it began, as of a golden record.
func (j *judgement) follow(f *Follows) {
	if f == nil {
		return
	}
	in := j.words.in
	expected := j.wish("follows_log", "follows %s within %s and %s deg", f.File,
		in.Retold(logfile.Figures(1000*f.Place)+" mm"), logfile.Figures(geom.Degrees(f.Heading)))
	p, err := alongside.Lay(j.record, f.spec, f.log, alongside.Options{At: f.At, Limits: f.Limits})
	if err != nil {
		j.fallAtEnd(expected, err.Error())
		return
	}
	d := p.Departs
	if d == nil {
		return
	}
	happened := "the log departs by " + gap(in, d.Gap)
	if d.Begun < d.T {
		happened += fmt.Sprintf(" at %.2f s, after a beginning at %.2f s", d.T, d.Begun)
	}
	begun := d.BegunStand
	if begun.Line > 0 && !begun.Ended {
		happened += fmt.Sprintf(", while %s ran", j.ran(begun.File, begun.Line))
	}
	happened += in.Sprintf("; farthest %.0f mm at %.1f s", p.Farthest.Place, p.Farthest.T)
	j.miss(Shortfall{Expected: expected, Happened: happened, T: d.Begun,
		File: begun.File, Line: begun.Line, Ended: begun.Ended})
}

// gap is "53.0 mm and 2.10 deg".
func gap(in units.System, g alongside.Gap) string {
	words := in.Sprintf("%.1f mm", g.Place)
	if g.Heading != nil {
		words += fmt.Sprintf(" and %.2f deg", math.Abs(geom.Degrees(*g.Heading)))
	}
	return words
}
