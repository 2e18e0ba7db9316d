package study

import (
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
	"testing"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/study/results"
)

// BenchmarkTrials is the 20 s demo, in trials a second, on one core and on two:
//
//	go test -run '^$' -bench Trials -benchtime 5x ./internal/app/study
func BenchmarkTrials(b *testing.B) {
	c := Candidate{Name: "demo", Setup: embedded(b, "core_haul", "hauler", "core_haul_demo.lua")}
	const count = 50
	s, err := Trials(context.Background(), rehearse.Run, c, Options{Count: count, Seed: 1, Shard: results.Whole})
	if err != nil {
		b.Fatal(err)
	}
	defer debug.SetGCPercent(debug.SetGCPercent(400)) // as the command does
	for _, cores := range []int{1, 2} {
		b.Run(fmt.Sprintf("cores=%d", cores), func(b *testing.B) {
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
			for b.Loop() {
				journal, err := results.InMemory(s.Header)
				if err != nil {
					b.Fatal(err)
				}
				if err := s.Run(context.Background(), journal, cores, nil); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(count*b.N)/b.Elapsed().Seconds(), "trials/s")
		})
	}
}
