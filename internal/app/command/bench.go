package command

import (
	"context"
	"fmt"
	"time"
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
	if c.JSON {
		return printJSON(s.out, result)
	}
	fmt.Fprintf(s.out, "simulated seconds per wall second, one core\n")
	for _, row := range []struct {
		name  string
		value float64
	}{
		{"bare physics library, awake, standing", result.Still},
		{"bare physics library, awake, knocked about", result.Bare},
		{"the world without a routine", result.World},
		{"full rehearsal with record", result.Full},
	} {
		fmt.Fprintf(s.out, "  %-44s %7.0f  %6.2f x standing  %6.2f x knocked about\n", row.name, row.value,
			row.value/result.Still, row.value/result.Bare)
	}
	fmt.Fprintf(s.out, "trials a second: %.1f on one core, %.1f on all %d\n", result.OneCore, result.AllCores,
		result.Cores)
	return nil
}
