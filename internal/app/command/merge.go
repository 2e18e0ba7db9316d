package command

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"chalkfield/fields"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/atomicfile"
)

type mergeCommand struct {
	Parts  []string `arg:"" help:"The parts: every file that --shard wrote, in any order." placeholder:"PART"`
	Out    string   `help:"Write the whole study to this file." placeholder:"FILE"`
	JSON   bool     `help:"Print what was found as JSON." name:"json"`
	Field  string   `help:"Field file, for the report's picture. Default: the one that the study was made on, if it is embedded, here, or beside the parts." placeholder:"FILE"`
	Report string   `help:"Write a report that a browser shows (.html), in one file." placeholder:"FILE"`
}

// Help is shown under the flags.
func (mergeCommand) Help() string {
	return `Joins the parts of a study that was spread over machines into what one machine would have given, byte for
byte. Parts of another study, missing parts and parts given twice are refused. Also tells anew what a finished study
found.

Examples:
  chalkfield merge part* --out all.trials
  chalkfield merge part* --report all.html
  chalkfield merge all.trials                 one file is a study of one part`
}

// Run merges and tells what the whole shows.
func (c mergeCommand) Run(_ context.Context, s streams) error {
	var all results.Merger
	for _, path := range c.Parts {
		part, err := readPart(path)
		if err != nil {
			return err
		}
		if err := all.Add(path, part); err != nil {
			return err
		}
		if c.Out != "" && atomicfile.Same(c.Out, path) {
			return fmt.Errorf("%s: would be overwritten: it is one of the parts; name another file with --out", c.Out)
		}
		if c.Report != "" && atomicfile.Same(c.Report, path) {
			return fmt.Errorf("%s: would be overwritten: it is one of the parts; name another file with --report", c.Report)
		}
	}
	if c.Out != "" && c.Report != "" && atomicfile.Same(c.Out, c.Report) && isFile(c.Out) {
		return fmt.Errorf("%s: two outputs with one name: name another", c.Out)
	}
	if err := pageFile.mayBe(c.Report); err != nil {
		return err
	}
	whole, err := all.Whole()
	if err != nil {
		return err
	}
	flags := studyFlags{JSON: c.JSON, Report: c.Report}
	var field *fields.Field
	if c.Report != "" {
		if field, err = fieldOf(c.Parts[0], whole.Header.Field, c.Field); err != nil {
			return err
		}
	}
	if c.Out != "" {
		if err := results.WriteMerged(c.Out, whole); err != nil {
			return err
		}
	}
	return flags.finish(s, whole, field, nil)
}

// readPart says of a wrong name what is wanted.
func readPart(path string) (*results.File, error) {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return nil, fmt.Errorf("%s: is a folder: name the part files in it, such as %s", path, filepath.Join(path, "*"))
	}
	f, err := results.Read(path)
	if errors.Is(err, os.ErrNotExist) {
		err = fmt.Errorf("%s: no such file", path)
	}
	return f, err
}
