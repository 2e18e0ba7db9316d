package command

import (
	"fmt"
	"time"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/report"
	"chalkfield/internal/base/record"
	"chalkfield/scripting/history"
)

// insideFlags ask what went on inside a routine.
type insideFlags struct {
	VariablesAt *time.Duration `help:"Tell what the routine's variables held at a time, task by task." placeholder:"3.2s"`
	Lines       bool           `help:"Tell when each line of the routine ran, and how long it took."`
}

func (f insideFlags) asked() bool { return f.VariablesAt != nil || f.Lines }

// keep has the rehearsal keep what is asked for; nil: nothing is.
func (f insideFlags) keep(setup *rehearse.Setup) (*history.History, error) {
	if !f.asked() {
		return nil, nil
	}
	if f.VariablesAt != nil && *f.VariablesAt < 0 {
		return nil, fmt.Errorf("--variables-at %v: a time counts from the start of the session, so write 0s or more",
			*f.VariablesAt)
	}
	if setup.Entrants[0].Routine.Foreign() {
		return nil, fmt.Errorf("--variables-at and --lines are for routines in Lua: a program outside keeps its lines and " +
			"variables to itself; what it tells by signal is in --csv")
	}
	done := history.New(history.Usual)
	setup.Entrants[0].History = done
	return done, nil
}

// tell adds it to what is told of the rehearsal.
func (f insideFlags) tell(told *report.Document, setup rehearse.Setup, rec *record.Record,
	done *history.History) error {
	if f.VariablesAt != nil {
		at, end := f.VariablesAt.Seconds(), rec.Samples[len(rec.Samples)-1].T
		if at > end {
			return fmt.Errorf("--variables-at %v: the session ends at %.2f s", *f.VariablesAt, end)
		}
		told.AddVariables(done, at)
	}
	if f.Lines {
		routine := setup.Entrants[0].Routine
		told.AddLines(done, routine.Name, routine.Texts)
	}
	return nil
}
