// Package pool spreads independent jobs over the cores. What comes out depends on the jobs alone: a result carries its
// index, and whoever takes it puts it at that index.
package pool

import (
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
)

// Defect is a panic of a job: our fault, not the user's. It names the job so that it can be repeated.
type Defect struct {
	Index int
	Cause any
	Stack string
}

func (d *Defect) Error() string {
	return fmt.Sprintf("internal error in job %d: %v\n%s", d.Index, d.Cause, d.Stack)
}

// Done is the result of one job.
type Done[T any] struct {
	Index  int
	Result T
}

// Cores is how many workers a run gets when nothing else is asked for.
func Cores() int { return runtime.GOMAXPROCS(0) }

// Each does the jobs of the given indices on a number of workers and hands their results to take, in the order in which
// they are done, from the calling goroutine only: all that are done at that moment at once, so that a slow take (a
// disk) never keeps the workers waiting. The first error of a job or of take ends the run: no new job begins, the ones
// under way are told by their context, and the results that are done are still taken. When ctx ends it is the same with
// ctx's error.
func Each[T any](ctx context.Context, indices []int, workers int, work func(context.Context, int) (T, error),
	take func([]Done[T]) error) error {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	results := make(chan Done[T], len(indices))
	var group sync.WaitGroup
	next := make(chan int)
	for range max(1, min(workers, len(indices))) {
		group.Go(func() { serve(ctx, next, results, work, cancel) })
	}
	group.Go(func() { feed(ctx, indices, next) })
	go func() { group.Wait(); close(results) }()
	for first := range results {
		if err := take(drain(first, results)); err != nil {
			cancel(err)
		}
	}
	return context.Cause(ctx)
}

// feed gives out the indices in order until ctx ends.
func feed(ctx context.Context, indices []int, next chan<- int) {
	defer close(next)
	for _, i := range indices {
		select {
		case next <- i:
		case <-ctx.Done():
			return
		}
	}
}

// serve is one worker.
func serve[T any](ctx context.Context, next <-chan int, results chan<- Done[T],
	work func(context.Context, int) (T, error), cancel context.CancelCauseFunc) {
	for i := range next {
		result, err := guarded(ctx, i, work)
		if err != nil {
			cancel(err)
			return
		}
		results <- Done[T]{i, result}
	}
}

// guarded turns a panic of a job into an error: on a goroutine it would end the program.
func guarded[T any](ctx context.Context, i int, work func(context.Context, int) (T, error)) (result T, err error) {
	defer func() {
		if cause := recover(); cause != nil {
			err = &Defect{i, cause, string(debug.Stack())}
		}
	}()
	return work(ctx, i)
}

// drain adds to first what else is done at this moment, without waiting.
func drain[T any](first Done[T], results <-chan Done[T]) []Done[T] {
	batch := []Done[T]{first}
	for {
		select {
		case one, open := <-results:
			if !open {
				return batch
			}
			batch = append(batch, one)
		default:
			return batch
		}
	}
}
