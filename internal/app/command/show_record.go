package command

import (
	"fmt"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/report"
)

// showRecord tells what happened in a rehearsal that `run --record` or the window kept.
func (c showCommand) showRecord(s streams) error {
	rec, err := loadRecord(c.Thing)
	if err != nil {
		return err
	}
	if c.Picture != "" {
		setup, err := rehearse.SetupOf(rec)
		if err != nil {
			return fmt.Errorf("%s: %w", c.Thing, err)
		}
		if err := drawRecord(c.Picture, setup, rec, nil); err != nil {
			return err
		}
	}
	told, err := report.Rehearsal(rec, nil)
	if err != nil {
		return err
	}
	return told.Text(s.out)
}
