package command

import (
	"errors"
	"fmt"
	"io/fs"

	"chalkfield/internal/app/logfile"
	"chalkfield/internal/app/report"
)

// showLog tells what is in a log of a real robot.
func (c showCommand) showLog(s streams) error {
	if c.Picture != "" {
		return fmt.Errorf("--picture: a log is not drawn: leave it out")
	}
	log, err := logfile.Open(c.Thing, c.Columns)
	var file *fs.PathError
	if errors.As(err, &file) {
		return unreadable(c.Thing, err)
	}
	if err != nil {
		return err
	}
	return s.tell(report.Log(logfile.Describe(log)), c.JSON)
}
