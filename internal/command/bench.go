package command

import (
	"context"
	"fmt"
	"time"

	"chalkfield/internal/bench"
)

type benchCommand struct {
	inputs
	Each time.Duration `help:"Wall time for each of the three measurements." default:"2s"`
	JSON bool          `help:"Print the numbers as JSON." name:"json"`
}

// Help is shown under the flags.
func (benchCommand) Help() string {
	return `Examples:
  chalkfield bench                the demo on this machine
  chalkfield bench mine.lua       your routine
The three are measured in turns in one run on one core, so the ratios hold on any machine.`
}

// Run measures and prints.
func (c benchCommand) Run(ctx context.Context, s streams) error {
	setup, err := c.load()
	if err != nil {
		return err
	}
	result, err := bench.Measure(ctx, setup, c.Each)
	if err != nil {
		return err
	}
	if c.JSON {
		return printJSON(s.out, result)
	}
	fmt.Fprintf(s.out, "simulated seconds per wall second, one core\n")
	for _, row := range []struct {
		name  string
		value float64
	}{
		{"bare physics library, every body awake", result.Bare},
		{"the world without a routine", result.World},
		{"full rehearsal with record", result.Full},
	} {
		fmt.Fprintf(s.out, "  %-40s %8.0f   %5.2f x bare\n", row.name, row.value, row.value/result.Bare)
	}
	return nil
}
