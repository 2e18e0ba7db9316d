package command

import (
	"context"
	"fmt"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/report"
	"chalkfield/internal/base/record"
)

// showRecord tells what happened in a rehearsal that `run --record` or the window kept.
func (c showCommand) showRecord(ctx context.Context, s streams) error {
	if err := c.showFlags.check(); err != nil {
		return err
	}
	for _, output := range append(c.showFlags.outputs(), c.Picture) {
		if err := refuseRead(output, []string{c.Thing}); output != "" && err != nil {
			return err
		}
	}
	rec, err := loadRecord(c.Thing)
	if err != nil {
		return err
	}
	if c.Picture != "" || c.showFlags.asked() {
		if err := c.drawShown(ctx, s, rec); err != nil {
			return err
		}
	}
	told, err := report.Rehearsal(s.units, rec, nil)
	if err != nil {
		return err
	}
	return told.Text(s.out)
}

// drawShown draws a record that was read.
func (c showCommand) drawShown(ctx context.Context, s streams, rec *record.Record) error {
	setup, err := rehearse.SetupOf(rec)
	if err != nil {
		return fmt.Errorf("%s: %w", c.Thing, err)
	}
	if c.Picture != "" {
		if err := c.paper(c.Picture, s.units).record(setup, rec, nil, nil); err != nil {
			return err
		}
	}
	return c.showFlags.write(ctx, s, sceneInput(s.units, setup, rec, nil))
}
