package command

import (
	"fmt"
	"path/filepath"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/account"
	"chalkfield/internal/record"
	"chalkfield/internal/rehearse"
	"chalkfield/sim/robotfile"
)

// showRecord tells what happened in a rehearsal that `run --record` or the window kept.
func (c showCommand) showRecord(s streams) error {
	rec, err := loadRecord(c.Thing)
	if err != nil {
		return err
	}
	if c.Picture != "" {
		setup, err := c.recorded(rec)
		if err != nil {
			return err
		}
		if err := drawRecord(c.Picture, setup, rec); err != nil {
			return err
		}
	}
	return account.Text(s.out, rec)
}

// recorded finds what a record was made from, as far as a picture needs it: its field, and its robots where they are there.
func (c showCommand) recorded(rec *record.Record) (rehearse.Setup, error) {
	var setup rehearse.Setup
	for _, place := range c.places(rec.Header.Field) {
		if field, err := fields.Find(place); err == nil && field.SHA256 == rec.Header.Field.SHA256 {
			setup.Field = field
			break
		}
	}
	if setup.Field == nil {
		return setup, fmt.Errorf("--picture: the record was made on the field %s; that file, unchanged, is neither embedded nor here nor beside the record", rec.Header.Field.Name)
	}
	for _, robot := range rec.Header.Robots {
		for _, place := range c.places(robot.File) {
			if found, err := robotfile.Find(place); err == nil && found.SHA256 == robot.File.SHA256 {
				setup.Entrants = append(setup.Entrants, rehearse.Entrant{Robot: found})
				break
			}
		}
	}
	if len(setup.Entrants) < len(rec.Header.Robots) {
		setup.Entrants = nil // robots are drawn without their mechanisms
	}
	return setup, nil
}

// places are where a file of the record may be: in the program, beside the record, here.
func (c showCommand) places(file record.File) []string {
	return []string{strings.TrimSuffix(file.Name, filepath.Ext(file.Name)), filepath.Join(filepath.Dir(c.Thing), file.Name), file.Name}
}
