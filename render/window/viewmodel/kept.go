package viewmodel

import (
	"context"
	"fmt"
	"slices"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
	"chalkfield/scripting/history"
)

// Kept is what the routines of a run did, line by line, and what their variables held: found by rehearsing it once
// more, which is exact, because the same setup gives the same record.
type Kept struct {
	run       *Run
	Histories []*history.History // by robot; nil: it has none, and Why says so
	Why       []string
	err       error
}

// observer rehearses the run shown once more in the background, when something asks for what is kept.
type observer struct {
	results chan *Kept
	stop    context.CancelFunc
	of      *Run // that is under way, or was last; nil: none
}

func newObserver() *observer { return &observer{results: make(chan *Kept, 1)} }

func (o *observer) cancel() {
	if o.stop != nil {
		o.stop()
	}
	o.of = nil
}

// Observe has what the routines did found, for the run shown. It is called whenever something shows it, and does
// nothing while that is under way, or while a newer run is.
func (d *Model) Observe() {
	_, busy := d.Busy()
	run := d.Now
	if run == nil || busy || d.trial != nil || run.Live || run.Kept != nil || d.observer.of == run {
		return
	}
	o := d.observer
	o.cancel()
	ctx, stop := context.WithCancel(context.Background())
	o.of, o.stop = run, stop
	tell := d.job.tell
	go func() {
		var kept *Kept
		r := guarded(ctx, func(ctx context.Context, _ func(float64)) result {
			kept = run.observe(ctx)
			return result{}
		}, nil)
		if r.err != nil {
			kept = run.keepNothing(r.err.Error())
		}
		select {
		case o.results <- kept:
			tell()
		case <-ctx.Done():
		}
	}()
}

// PollKept takes what was found. It reports whether anything came.
func (d *Model) PollKept() bool {
	select {
	case kept := <-d.observer.results:
		if kept.run != d.observer.of {
			return false
		}
		if d.observer.of = nil; kept.err != nil {
			return false
		}
		kept.run.Kept = kept
		clear(kept.run.series) // of variables there was nothing
		clear(kept.run.held)
		return true
	default:
		return false
	}
}

// keepNothing says for every robot why nothing is kept.
func (r *Run) keepNothing(why string) *Kept {
	n := len(r.Record.Header.Robots)
	return &Kept{run: r, Histories: make([]*history.History, n), Why: slices.Repeat([]string{why}, n)}
}

// observe rehearses a run again. What comes of it must be the same record, byte for byte; else nothing is kept.
func (r *Run) observe(ctx context.Context) *Kept {
	kept := r.keepNothing("")
	setup := r.Setup
	setup.Entrants = slices.Clone(setup.Entrants)
	for i, e := range setup.Entrants[:min(len(setup.Entrants), len(kept.Why))] {
		switch {
		case e.Routine == nil:
			kept.Why[i] = "No routine commands this robot."
		case e.Routine.Foreign():
			return r.keepNothing("A program outside commands a robot: it keeps its lines and variables to itself, and is " +
				"not started a second time to look.")
		default:
			kept.Histories[i] = history.New(history.Usual / len(setup.Entrants))
			setup.Entrants[i].History = kept.Histories[i]
		}
	}
	again, err := r.again(ctx, setup)
	if err != nil {
		kept.err = ctx.Err()
		return r.because(kept, fmt.Sprintf("It cannot be rehearsed again: %v.", err))
	}
	was, err := r.Record.Fingerprint()
	now, failed := again.Fingerprint()
	if err != nil || failed != nil || was != now {
		return r.because(kept, "Rehearsed again it is not the same run, so its lines and variables are not known: "+
			"R rehearses it as it is now.")
	}
	return kept
}

// because is nothing kept, with why, and the error of what was found so far.
func (r *Run) because(found *Kept, why string) *Kept {
	kept := r.keepNothing(why)
	kept.err = found.err
	return kept
}

// again rehearses, up to where a person ended it if it was driven.
func (r *Run) again(ctx context.Context, setup rehearse.Setup) (*record.Record, error) {
	rehearsal, err := rehearse.New(setup)
	if err != nil {
		return nil, err
	}
	defer rehearsal.Close()
	for rehearsal.Tick() {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if r.Ended > 0 && rehearsal.Now() >= r.Ended {
			rehearsal.Finish()
		}
	}
	return rehearsal.Record(), rehearsal.Err()
}

// History is what a robot's routine did in the run shown; nil: it is not known, or not yet.
func (d *Model) History(robot int) *history.History {
	if d.Now == nil || d.Now.Kept == nil || robot >= len(d.Now.Kept.Histories) {
		return nil
	}
	return d.Now.Kept.Histories[robot]
}

// Unkept says why there is no history of a robot's routine.
func (d *Model) Unkept(robot int) string {
	switch {
	case d.Now == nil:
		return "Nothing has been rehearsed yet."
	case d.Now.Live:
		return "Not while somebody drives: afterwards."
	case d.Now.Kept == nil:
		return "Looking: the run is rehearsed once more."
	case robot >= len(d.Now.Kept.Why):
		return "There is no such robot."
	}
	return d.Now.Kept.Why[robot]
}
