package command

import (
	"context"
	"testing"

	"chalkfield/internal/app/rehearse"
)

// demo is the embedded demo.
func demo(tb testing.TB) rehearse.Setup {
	setup, err := inputs{Seed: 1}.load()
	if err != nil {
		tb.Fatal(err)
	}
	return setup
}

// Each benchmark reports simulated seconds per wall second; compare them within one run.

func BenchmarkBareStill(b *testing.B) { seconds(b, bareEngine(demo(b).Field, false)) }

func BenchmarkBare(b *testing.B) { seconds(b, bareEngine(demo(b).Field, true)) }

func BenchmarkWorld(b *testing.B) {
	simulate, err := worldAlone(demo(b))
	if err != nil {
		b.Fatal(err)
	}
	seconds(b, simulate)
}

func seconds(b *testing.B, simulate func(float64)) {
	for b.Loop() {
		simulate(1)
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "simulated-s/s")
}

func BenchmarkFull(b *testing.B) {
	setup := demo(b)
	total := 0.0
	for b.Loop() {
		seconds, err := wholeRehearsal(context.Background(), setup)
		if err != nil {
			b.Fatal(err)
		}
		total += seconds
	}
	b.ReportMetric(total/b.Elapsed().Seconds(), "simulated-s/s")
}
