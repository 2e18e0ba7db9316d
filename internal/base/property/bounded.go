package property

import (
	"fmt"
	"runtime/debug"
	"runtime/metrics"
	"sync"
	"testing"
	"time"
)

// The bounds. No reader needs a hundredth of either for what a fuzzer hands it.
const (
	Longest = 5 * time.Second
	Growth  = 500 << 20 // bytes that the process may have of the system beyond what it had at the first execution
)

// Bounded runs one execution. One that takes longer than Longest ends the process with every goroutine's stack, which
// the fuzzing engine takes for a crash and keeps the input of; one after which the process has grown by more than
// Growth fails.
func Bounded(t testing.TB, run func()) {
	t.Helper()
	within(t, Longest, Growth, func(text string) {
		debug.SetTraceback("all")
		panic(text)
	}, run)
}

// start is what the process had when its first execution began: tests that ran before in the process are none of ours.
var start = sync.OnceValue(mapped)

func within(t testing.TB, longest time.Duration, growth uint64, hangs func(string), run func()) {
	t.Helper()
	began := start()
	limit := time.AfterFunc(longest, func() { hangs(fmt.Sprintf("still at it after %v", longest)) })
	defer limit.Stop()
	run()
	if now := mapped(); now > began+growth {
		t.Errorf("the process has grown by %d MB", (now-began)>>20)
	}
}

// mapped is the memory that the process has of the system, bytes; the peak, as the runtime gives the addresses of none
// back.
func mapped() uint64 {
	sample := []metrics.Sample{{Name: "/memory/classes/total:bytes"}}
	metrics.Read(sample)
	return sample[0].Value.Uint64()
}
