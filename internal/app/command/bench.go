package command

import (
	"context"
	"fmt"
	"time"

	"chalkfield/internal/app/report"
)

type benchCommand struct {
	inputs
	Each time.Duration `help:"Wall time for each of the six measurements." default:"2s"`
	JSON bool          `help:"Print the numbers as JSON." name:"json"`
}

// Help is shown under the flags.
func (benchCommand) Help() string {
	return `Examples:
  chalkfield bench                the demo on this machine
  chalkfield bench mine.lua       your routine
The first four are measured in turns in one run on one core, so the ratios hold on any machine. Then come trials a
second, recorded as sparsely as in a study, on one core and on all.`
}

// Run measures and prints.
func (c benchCommand) Run(ctx context.Context, s streams) error {
	setup, err := c.load()
	if err != nil {
		return err
	}
	result, err := measureRates(ctx, setup, c.Each)
	if err != nil {
		return err
	}
	return s.tell(result.told(), c.JSON)
}

// told tells how fast everything went.
func (r benchRates) told() *report.Document {
	t := &report.Table{Look: report.Plain,
		Columns: []report.Column{{}, {Number: true}, {Number: true}, {Number: true}}}
	for _, row := range []struct {
		name  string
		value float64
	}{
		{"bare physics library, awake, standing", r.Still},
		{"bare physics library, awake, knocked about", r.Bare},
		{"the world without a routine", r.World},
		{"full rehearsal with record", r.Full},
	} {
		t.Add(row.name, fmt.Sprintf("%7.0f", row.value), fmt.Sprintf("%.2f x standing", row.value/r.Still),
			fmt.Sprintf("%.2f x knocked about", row.value/r.Bare))
	}
	return &report.Document{Data: r, Sections: []report.Section{
		{Title: "simulated seconds per wall second, one core", Table: t},
		{Lines: []string{fmt.Sprintf("trials a second: %.1f on one core, %.1f on all %d", r.OneCore, r.AllCores, r.Cores)}}}}
}
