package command

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/study"
	"chalkfield/internal/study/findings"
	"chalkfield/internal/study/part"
)

type trialsCommand struct {
	inputs
	Count int `help:"How many rehearsals." short:"n" default:"200" placeholder:"N"`
	studyFlags
}

// Help is shown under the flags.
func (trialsCommand) Help() string {
	return `Rehearses a routine many times, each time with another draw of the spread that field and robot declare, and tells how often it
works, when each step comes, why the bad ones were bad, and what they go with. Rehearsal k draws from --seed + k.

Examples:
  chalkfield trials mine.lua -n 1000
  chalkfield trials mine.lua -n 1000 --need 12 --report mine.html
  chalkfield trials mine.lua -n 5000 --out mine.trials          interrupt it, then add --resume
  chalkfield trials mine.lua -n 9000 --shard 3/16 --out part3   one of 16 machines; then: chalkfield merge part*`
}

// Run makes the rehearsals and tells what they show.
func (c trialsCommand) Run(ctx context.Context, s streams) error {
	if c.Nominal {
		return errors.New("--nominal draws nothing: every trial would be the same; leave it out")
	}
	ease()
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
	if err := c.tell(s, file, candidate.Setup.Field); err != nil {
		return err
	}
	return running
}

// tell prints what a study's file shows, and writes the report.
func (f *studyFlags) tell(s streams, file *part.File, field *fields.Field) error {
	if h := &file.Header; h.Kind != part.Trials && h.Shard != part.Whole { // a part has halves of pairs, thin points
		_, err := fmt.Fprintf(s.out, "Part %d of %d: %d of its %d rehearsals are done. Merge the parts for the result.\n", h.Shard.Number, h.Shard.Of, file.Have(), len(h.MyJobs()))
		return err
	}
	what, err := told(file)
	if err != nil {
		return err
	}
	if f.Report != "" {
		if err := writeReport(f.Report, file, field); err != nil {
			return err
		}
	}
	return f.print(s, what)
}

// told reads a study of any kind.
func told(file *part.File) (found, error) {
	switch file.Header.Kind {
	case part.Compare:
		return findings.OfCompare(file)
	case part.Sweep:
		return findings.OfSweep(file)
	}
	return findings.OfTrials(file)
}

func sortedKeys(m map[string]float64) []string { return slices.Sorted(maps.Keys(m)) }
