package pool

import (
	"context"
	"errors"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
)

func upTo(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

func TestWorkersOfAnyNumberGiveTheSameResults(t *testing.T) {
	for _, workers := range []int{1, 2, 8, 100} {
		got := make([]int, 50)
		err := Each(context.Background(), upTo(50), workers,
			func(_ context.Context, i int) (int, error) { return i * i, nil },
			func(batch []Done[int]) error {
				for _, d := range batch {
					got[d.Index] += d.Result
				}
				return nil
			})
		if err != nil {
			t.Fatal(err)
		}
		for i, x := range got {
			if x != i*i {
				t.Errorf("%d workers: job %d gave %d", workers, i, x)
			}
		}
	}
}

func TestWorkersStopAtTheFirstError(t *testing.T) {
	bad := errors.New("bad job")
	var begun atomic.Int32
	err := Each(context.Background(), upTo(1000), 2,
		func(_ context.Context, i int) (int, error) {
			begun.Add(1)
			if i == 5 {
				return 0, bad
			}
			return i, nil
		}, func([]Done[int]) error { return nil })
	if !errors.Is(err, bad) || begun.Load() > 20 {
		t.Errorf("error %v after %d jobs", err, begun.Load())
	}
}

func TestWorkersHandOverWhatIsDoneWhenInterrupted(t *testing.T) {
	ctx, interrupt := context.WithCancel(context.Background())
	var done []int
	var finished atomic.Int32
	err := Each(ctx, upTo(1000), 3,
		func(_ context.Context, i int) (int, error) {
			if i == 40 {
				interrupt()
			}
			finished.Add(1)
			return i, nil
		}, func(batch []Done[int]) error {
			for _, d := range batch {
				done = append(done, d.Index)
			}
			return nil
		})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
	slices.Sort(done)
	if len(done) != int(finished.Load()) || len(slices.Compact(done)) != len(done) {
		t.Errorf("%d jobs finished, %d taken", finished.Load(), len(done))
	}
}

func TestWorkersTurnAPanicIntoAnErrorThatNamesTheJob(t *testing.T) {
	err := Each(context.Background(), upTo(10), 2,
		func(_ context.Context, i int) (int, error) {
			if i == 7 {
				panic("index out of range")
			}
			return i, nil
		}, func([]Done[int]) error { return nil })
	var defect *Defect
	if !errors.As(err, &defect) || defect.Index != 7 || !strings.Contains(err.Error(), "index out of range") {
		t.Errorf("error %v", err)
	}
}

func TestWorkersStopWhenAResultCannotBeTaken(t *testing.T) {
	full := errors.New("disk full")
	var begun atomic.Int32
	err := Each(context.Background(), upTo(5000), 2,
		func(_ context.Context, i int) (int, error) { begun.Add(1); return i, nil },
		func([]Done[int]) error { return full })
	if !errors.Is(err, full) {
		t.Errorf("error %v", err)
	}
}

func TestNoJobsIsNoError(t *testing.T) {
	err := Each(context.Background(), nil, 4, func(context.Context, int) (int, error) { return 0, nil },
		func([]Done[int]) error { return errors.New("nothing to take") })
	if err != nil {
		t.Error(err)
	}
}
