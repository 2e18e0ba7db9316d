package fit

import (
	"context"
	"errors"
	"fmt"

	"chalkfield/internal/app/logfile"
	"chalkfield/sim/robot"
)

// Input is a log and the hash of its file.
type Input struct {
	Log    *logfile.Log
	SHA256 string
}

// Options say how to fit.
type Options struct {
	Hold     []string                        // keys of what was weighed or measured: they keep the file's value
	Progress func(text string, done float64) // if given, hears how far it is, 0 to 1
}

func (o Options) progress(text string, done float64) {
	if o.Progress != nil {
		o.Progress(text, done)
	}
}

// Fit estimates a robot file's values from logs. Logs from which nothing can be learnt, and a key to hold that there is
// not, are errors that say what to write instead.
func Fit(ctx context.Context, spec *robot.Robot, logs []Input, o Options) (*Result, error) {
	if len(logs) == 0 {
		return nil, errors.New("a fit needs a log: write chalkfield fit robot.toml drives/*.csv")
	}
	rows, err := rowsOf(spec, o.Hold)
	if err != nil {
		return nil, err
	}
	o.progress("reading the drives", 0)
	drives, all, err := gather(logs)
	if err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	e, err := newEstimation(spec, drives, all, rows, o)
	if err != nil {
		return nil, err
	}
	if err := e.run(ctx); err != nil {
		return nil, fmt.Errorf("the fit: %w", err)
	}
	return e.result(ctx, logs)
}
