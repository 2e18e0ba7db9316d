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
	log, err := openLog(c.Thing, c.Columns)
	if err != nil {
		return err
	}
	return s.tell(report.Log(s.units, logfile.Describe(log)), c.JSON)
}

// openLog reads a log, its columns as the flag says.
func openLog(path, columns string) (*logfile.Log, error) {
	log, err := logfile.Open(path, columns)
	var file *fs.PathError
	if errors.As(err, &file) {
		return nil, unreadable(path, err)
	}
	return log, err
}
