package command

import (
	"context"
	"errors"
	"maps"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/app/report"
	"chalkfield/internal/app/study"
	"chalkfield/internal/app/study/results"
)

type trialsCommand struct {
	inputs
	Count int `help:"How many rehearsals." short:"n" default:"200" placeholder:"N"`
	studyFlags
}

// Help is shown under the flags.
func (trialsCommand) Help() string {
	return `Rehearses a routine many times, each time with another draw of the spread that field and robot declare, and
tells how often it works, when each step comes, why the bad ones were bad, and what they go with. Rehearsal k draws
from --seed + k.

Examples:
  chalkfield trials mine.lua -n 1000
  chalkfield trials mine.lua -n 1000 --need 12 --report mine.html
  chalkfield trials mine.lua --for "-time(scored sled)"         a goal beside the score: see chalkfield tune --help
  chalkfield trials mine.lua -n 5000 --out mine.trials          interrupt it (Ctrl-C), then add --resume
  chalkfield trials mine.lua -n 9000 --shard 3/16 --out part3   one of 16 machines; then: chalkfield merge part*

Interrupted without --out, what is done is kept in mine.trials, or in mine.2.trials and so on where that is taken; the
line on standard error says how to go on. Exit code 1: a routine failed with an error in some rehearsal, which is then
never good; 130: interrupted.`
}

// Run makes the rehearsals and tells what they show.
func (c trialsCommand) Run(ctx context.Context, s streams) error {
	if c.Nominal {
		return errors.New("--nominal draws nothing: every trial would be the same; leave it out")
	}
	o, err := c.options(c.Count, c.Seed)
	if err != nil {
		return err
	}
	if err := c.refuseOverwriting(c.Out, c.Report); err != nil {
		return err
	}
	candidate, err := c.candidate()
	if err != nil {
		return err
	}
	one, err := study.Trials(ctx, careful, candidate, o)
	if err != nil {
		return err
	}
	file, running := c.run(ctx, s, one)
	if file == nil {
		return running
	}
	return c.finish(s, file, candidate.Setup.Field, running)
}

// tell prints what a study's file shows, and writes the report.
func (f *studyFlags) tell(s streams, file *results.File, field *fields.Field) error {
	h := &file.Header
	due := len(h.MyJobs())
	if h.Shard != results.Whole && (h.Kind != results.Trials || due == 0) { // a part has halves of pairs, thin points
		return s.tell(report.Part(h.Shard, file.Have(), due), f.JSON)
	}
	what, err := report.Study(s.units, file)
	if err != nil {
		return err
	}
	if f.Report != "" {
		if err := writeReport(f.Report, what, file, field); err != nil {
			return err
		}
	}
	return s.tell(what, f.JSON)
}

func sortedKeys(m values) []string { return slices.Sorted(maps.Keys(m)) }
