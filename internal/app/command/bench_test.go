package command

import (
	"context"
	"testing"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// demo is the embedded demo.
func demo(tb testing.TB) rehearse.Setup {
	field, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		tb.Fatal(err)
	}
	robot, err := robot.OpenEmbedded("hauler")
	if err != nil {
		tb.Fatal(err)
	}
	routine, err := scripting.LoadFS(assets.Routines, "core_haul_demo.lua")
	if err != nil {
		tb.Fatal(err)
	}
	return rehearse.Setup{Field: field, Seed: 1, Entrants: []rehearse.Entrant{{Robot: robot, Routine: routine}}}
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
