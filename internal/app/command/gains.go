package command

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"chalkfield/internal/app/gains"
	"chalkfield/internal/app/report"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/wording"
	"chalkfield/render/picture"
	"chalkfield/render/webpage"
	"chalkfield/sim/robot"
)

type gainsCommand struct {
	Robot   string    `arg:"" help:"Robot file (.toml), or the name of an embedded robot."`
	Loop    []string  `help:"Only this loop: \"drive straight\", \"drive turn\", or a lift's name. May be repeated." placeholder:"NAME"`
	Use     gains.Set `help:"Which gains to write: computed, relay or tuned." enum:"computed,relay,tuned" default:"tuned" placeholder:"SET"`
	Out     string    `help:"Write the robot file with these gains here. One that is there is only written over with --write." placeholder:"FILE"`
	Write   bool      `help:"Write over the file of --out, which may be the robot file itself."`
	Report  string    `help:"Write a page with steps and ramps drawn (.html)." placeholder:"FILE"`
	Picture string    `help:"Draw steps and ramps (.png or .svg)." placeholder:"FILE"`
	JSON    bool      `help:"Print everything as JSON, with the curves." name:"json"`
}

// Help is shown under the flags.
func (gainsCommand) Help() string {
	return `Steps and ramps each loop of a robot on an empty floor, with the simulator's own controllers: by the gains in
the file, those computed from the model, those of Ziegler and Nichols' table from a relay's swing, and tuned ones. Tells
rise, overshoot, settling, how much more gain or delay until it rings, and how it does with a low battery and a load.

Examples:
  chalkfield gains robot.toml --report gains.html
  chalkfield gains robot.toml --loop lift --out robot.toml            shows what would change
  chalkfield gains robot.toml --loop lift --out robot.toml --write    changes it
  chalkfield gains robot.toml --use computed --out computed.toml      another file

The new file has your comments, order and units; only gains change.`
}

// Run looks, writes and tells.
func (c gainsCommand) Run(ctx context.Context, s streams) error {
	if filepath.Ext(c.Robot) != "" && filepath.Ext(c.Robot) != robot.Suffix {
		return fmt.Errorf("%s: a robot file's name ends in .toml", c.Robot)
	}
	spec, err := findRobot(c.Robot)
	if err != nil {
		return err
	}
	loops, err := c.loops(spec)
	if err != nil {
		return err
	}
	if err := c.refuse(); err != nil {
		return err
	}
	bar := progress(s.err, len(loops))
	found, err := gains.Find(ctx, spec, loops, bar.add)
	bar.clear()
	if err != nil {
		return err
	}
	file, err := c.file(spec, found)
	if err != nil {
		return err
	}
	told := report.Gains(s.units, spec, found, file)
	if err := c.keep(found, file, told); err != nil {
		return err
	}
	return s.tell(told, c.JSON)
}

// loops are those that are asked for, all if none is.
func (c gainsCommand) loops(spec *robot.Robot) ([]gains.Loop, error) {
	all := gains.Loops(spec)
	if c.Loop == nil {
		return all, nil
	}
	var names []string
	for _, l := range all {
		names = append(names, l.Name)
	}
	var list []gains.Loop
	for _, name := range c.Loop {
		found := false
		for _, l := range all {
			if l.Name == name {
				list, found = append(list, l), true
			}
		}
		switch {
		case !found && name == "lift" && len(all) == 2:
			return nil, fmt.Errorf("--loop lift: %s has no lift: a part with a table [parts.lift]", c.Robot)
		case !found:
			return nil, fmt.Errorf("--loop %q: the robot has no such loop: %s", name, wording.Instead(name, names))
		}
	}
	return list, nil
}

// refuse finds outputs that cannot be written before anything is rehearsed.
func (c gainsCommand) refuse() error {
	if c.Write && c.Out == "" {
		return errors.New("--write: say with --out which file to write over")
	}
	if c.Out != "" && isFile(c.Out) && filepath.Ext(c.Out) != robot.Suffix {
		return fmt.Errorf("--out %s: a robot file's name ends in .toml", c.Out)
	}
	if err := pageFile.mayBe(c.Report); err != nil {
		return err
	}
	if c.Picture != "" {
		if err := picture.MayBe(c.Picture); err != nil {
			return err
		}
	}
	for _, out := range []string{c.Report, c.Picture} {
		if out == "" {
			continue
		}
		if err := refuseRead(out, []string{c.Robot, c.Out}); err != nil {
			return err
		}
	}
	if err := foldersExist(c.Out, c.Report, c.Picture); err != nil || !c.there() {
		return err
	}
	if _, err := robot.Load(c.Out); err != nil {
		return fmt.Errorf("--out %s: would overwrite what is no robot file: name another file, or take this one away", c.Out)
	}
	return nil
}

// there tells whether a file stands where the new one goes.
func (c gainsCommand) there() bool {
	_, err := os.Stat(c.Out)
	return c.Out != "" && err == nil && isFile(c.Out)
}

// file is the robot file with the gains. A loop for which they do not settle keeps its own.
func (c gainsCommand) file(spec *robot.Robot, found *gains.Result) (*report.NewGains, error) {
	out := &report.NewGains{Set: c.Use, Text: []byte(spec.Text), Path: c.Out, There: c.there()}
	for _, l := range found.Loops {
		for _, t := range l.Sets {
			if t.Set != c.Use {
				continue
			}
			if !t.Good() {
				why := t.Without
				if why == "" {
					why = "by these gains it does not settle in every case"
				}
				out.Left = append(out.Left, fmt.Sprintf("%s keeps its own: %s", l.Name, why))
				continue
			}
			text, edits, err := l.Loop.Into(out.Text, spec, t.Gains)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", spec.Name, err)
			}
			out.Text, out.Changes = text, append(out.Changes, edits...)
		}
	}
	out.Written = c.Out != "" && (!out.There || c.Write) && len(out.Changes) > 0
	return out, nil
}

// keep writes what was asked for.
func (c gainsCommand) keep(found *gains.Result, file *report.NewGains, told *report.Document) error {
	if file.Written {
		err := atomicfile.Write(c.Out, func(w io.Writer) error { _, err := w.Write(file.Text); return err })
		if err != nil {
			return err
		}
	}
	if c.Picture != "" {
		if err := picture.WriteFile(c.Picture, picture.Gains(told.In, found, gainsWidth), gainsWidth); err != nil {
			return err
		}
	}
	if c.Report == "" {
		return nil
	}
	return atomicfile.Write(c.Report, func(w io.Writer) error { return webpage.WriteGains(w, told, found) })
}

const gainsWidth = 1200 // pixels
