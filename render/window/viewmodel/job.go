package viewmodel

import (
	"context"
	"fmt"
	"math"
	"runtime/debug"
	"sync/atomic"
	"time"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
)

// job is the one piece of long work in the background. A new one ends the one before it.
type job struct {
	tell    func() // that there is a result
	results chan result
	stop    context.CancelFunc
	number  int
	running bool
	fresh   bool          // it was started since await was asked last
	done    chan struct{} // closed when there is a result
	awaited atomic.Bool   // somebody waits for that, and need not be told
	took    time.Duration // by the last one
	waits   bool          // something newer is to be rehearsed after this
	share   atomic.Uint64 // how much is done, 0..1, as bits of a float64
}

// result is what the background hands over.
type result struct {
	number   int
	took     time.Duration
	setup    rehearse.Setup
	arranged Arrangement
	trial    *trial
	run      *Run                       // nil if err is not
	started  map[int]*scripting.Program // by robot
	err      error
}

func newJob() *job { return &job{tell: func() {}, results: make(chan result, 1)} }

// start runs work in the background and forgets the work before it.
func (j *job) start(work func(context.Context, func(float64)) result) {
	j.cancel()
	ctx, stop := context.WithCancel(context.Background())
	select {
	case <-j.results: // of one that was given up
	default:
	}
	j.stop, j.running, j.fresh, j.done = stop, true, true, make(chan struct{})
	j.number++
	number, done, began := j.number, j.done, time.Now()
	j.share.Store(0)
	go func() {
		r := guarded(ctx, work, func(share float64) { j.share.Store(math.Float64bits(share)) })
		r.number, r.took = number, time.Since(began)
		select {
		case j.results <- r:
			if close(done); !j.awaited.Load() {
				j.tell()
			}
		case <-ctx.Done():
		}
	}()
}

// guarded turns a panic of the work into an error: a crash behind the window must not close it.
func guarded(ctx context.Context, work func(context.Context, func(float64)) result, tell func(float64)) (r result) {
	defer func() {
		if trouble := recover(); trouble != nil {
			r.err = OurFault(trouble)
		}
	}()
	return work(ctx, tell)
}

// OurFault tells of a panic behind the window, with where it came from.
func OurFault(trouble any) error {
	return fmt.Errorf("internal error: %v. This is our fault, not yours; please report it.\n%s", trouble, debug.Stack())
}

// cancel ends the work under way; its result is not handed over.
func (j *job) cancel() {
	if j.stop != nil {
		j.stop()
	}
	j.running, j.waits = false, false
}

// await waits for the result of work that has just been started, so long at most, and not where the work before took
// longer. It reports whether there is one.
func (j *job) await(most time.Duration) bool {
	fresh := j.fresh
	if j.fresh = false; !fresh || !j.running || j.took > most {
		return false
	}
	j.awaited.Store(true)
	select {
	case <-j.done:
	case <-time.After(most):
	}
	j.awaited.Store(false)
	select {
	case <-j.done: // also where it came while nobody was to be told
		return true
	default:
		j.took = most + 1
		return false
	}
}

// poll takes the result if it is there.
func (j *job) poll() (result, bool) {
	select {
	case r := <-j.results:
		if r.number != j.number || !j.running {
			return result{}, false
		}
		j.running, j.took = false, r.took
		return r, true
	default:
		return result{}, false
	}
}

// rehearseWhole runs a rehearsal to its end.
func rehearseWhole(ctx context.Context, setup rehearse.Setup, tell func(float64)) (*record.Record, error) {
	r, err := rehearse.New(setup)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	seconds := plannedSeconds(r.Record())
	for tick := 0; r.Tick(); tick++ {
		if tick%50 == 0 {
			tell(r.Now() / seconds)
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
		}
	}
	if err := r.Err(); err != nil {
		return nil, err
	}
	return r.Record(), nil
}

func plannedSeconds(r *record.Record) float64 {
	seconds := 1e-9
	for _, phase := range r.Header.Phases {
		seconds += phase.Seconds
	}
	return seconds
}

// Busy reports whether a rehearsal is under way, and how much of it is done.
func (d *Model) Busy() (share float64, busy bool) {
	return math.Float64frombits(d.job.share.Load()), d.job.running
}

// Cancelled is said while there is no run to show, because the first was given up.
const Cancelled = "Cancelled: R rehearses."

// Cancel gives up the rehearsal under way.
func (d *Model) Cancel() {
	if _, busy := d.Busy(); busy {
		d.job.cancel()
		if d.Now == nil {
			d.Say(Cancelled)
			return
		}
		d.Say("Cancelled; the last run stays.")
	}
}
