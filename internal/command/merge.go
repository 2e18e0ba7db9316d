package command

import (
	"context"
	"errors"
	"fmt"
	"os"

	"chalkfield/fields"
	"chalkfield/internal/study/part"
)

type mergeCommand struct {
	Parts  []string `arg:"" help:"The parts: every file that --shard wrote, in any order." placeholder:"PART"`
	Out    string   `help:"Write the whole study to this file." placeholder:"FILE"`
	JSON   bool     `help:"Print what was found as JSON." name:"json"`
	Field  string   `help:"Field file, for the report's picture. Default: the embedded field that the study was made on." placeholder:"FILE"`
	Report string   `help:"Write a report that a browser shows (.html), in one file." placeholder:"FILE"`
}

// Help is shown under the flags.
func (mergeCommand) Help() string {
	return `Joins the parts of a study that was spread over machines into what one machine would have given, byte for byte. Parts of
another study, missing parts and parts given twice are refused. Also tells anew what a finished study found.

Examples:
  chalkfield merge part* --out all.trials
  chalkfield merge part* --report all.html
  chalkfield merge all.trials                 one file is a study of one part`
}

// Run merges and tells what the whole shows.
func (c mergeCommand) Run(_ context.Context, s streams) error {
	parts := make([]*part.File, len(c.Parts))
	for i, path := range c.Parts {
		var err error
		if parts[i], err = part.Read(path); err != nil {
			if errors.Is(err, os.ErrNotExist) {
				err = fmt.Errorf("%s: no such file", path)
			}
			return err
		}
	}
	whole, err := part.Merge(c.Parts, parts)
	if err != nil {
		return err
	}
	if c.Out != "" {
		if err := c.write(whole); err != nil {
			return err
		}
	}
	flags := studyFlags{JSON: c.JSON, Report: c.Report}
	var field *fields.Field
	if c.Report != "" {
		if field, err = fieldOf(whole.Header.Field, c.Field); err != nil {
			return err
		}
	}
	return flags.tell(s, whole, field)
}

// write does not overwrite what is no study.
func (c mergeCommand) write(whole *part.File) error {
	if _, err := part.Read(c.Out); errors.Is(err, part.ErrNotOurs) {
		return fmt.Errorf("%w; it is left alone: name another file with --out", err)
	}
	return part.Write(c.Out, whole)
}
