package sim

import (
	"math"
	"testing"

	"chalkfield/fields"
	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// BenchmarkBare is the engine alone on the busy field with every body awake: what a world without our care costs.
func BenchmarkBare(b *testing.B) {
	s := newSpace()
	s.SleepTimeThreshold = math.MaxFloat64
	f := busyField()
	addWalls(s, f)
	add := func(body *cp.Body, shape *cp.Shape, at geom.Pose) {
		setOrigin(body, geom.Vec{}, at)
		s.AddBody(body)
		s.AddShape(shape)
	}
	for _, p := range f.Pieces {
		body := newBody(0.14, 0.00035)
		add(body, cp.NewCircle(body, 0.07, cp.Vector{}), p.At)
	}
	for _, g := range f.Goals {
		body := newBody(1.6, 0.02)
		add(body, polygonShape(body, f.GoalKinds[0].Shape), g.At)
	}
	body := newBody(6.5, 0.165)
	add(body, polygonShape(body, geom.Rect(geom.Vec{X: -0.2, Y: -0.19}, geom.Vec{X: 0.2, Y: 0.19})),
		geom.Pose{X: 2.1, Y: 2.22})
	b.ReportAllocs()
	for b.Loop() {
		s.Step(stepLength)
	}
	b.ReportMetric(stepLength*float64(b.N)/b.Elapsed().Seconds(), "sim-s/s")
}

// BenchmarkWorld is a world at work: a robot that drives around on the busy field at random, resting bodies asleep. A
// new world is made every 60 simulated seconds, its making counted.
func BenchmarkWorld(b *testing.B) {
	b.ReportAllocs()
	var w *World
	for i := 0; b.Loop(); i++ {
		if i%30000 == 0 {
			w = build(b, busyField(), Entry{Spec: cart(), Start: geom.Pose{X: 2.1, Y: 2.22}})
		}
		if i%250 == 0 { // a new command each half second of simulated time
			k := float64(i / 250)
			w.robots[0].SetDriveVolts(12*math.Sin(0.7*k), 12*math.Sin(1.3*k+1))
		}
		w.Step()
		w.TakeEvents()
	}
	b.ReportMetric(stepLength*float64(b.N)/b.Elapsed().Seconds(), "sim-s/s")
}

// BenchmarkOpenFloor is the drive base alone: a robot that turns circles, touching nothing.
func BenchmarkOpenFloor(b *testing.B) {
	w := build(b, yard(4.2, 3.0), Entry{Spec: cart(), Start: geom.Pose{X: 2.1, Y: 1.5}})
	w.robots[0].SetDriveVolts(4, 8)
	b.ReportAllocs()
	for b.Loop() {
		w.Step()
	}
	b.ReportMetric(stepLength*float64(b.N)/b.Elapsed().Seconds(), "sim-s/s")
}

// BenchmarkCoreHaul is the demo game's field with its robot: every mechanism, sensors and odometry, a control tick each
// ten milliseconds. It drives back and forth across the field with its intake running for the 20 s of the autonomous
// phase, then a new world is made, its making counted.
func BenchmarkCoreHaul(b *testing.B) {
	f, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		b.Fatal(err)
	}
	spec, err := robot.OpenEmbedded("hauler")
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	var w *World
	for i := 0; b.Loop(); i++ {
		if i%10000 == 0 {
			w = build(b, f, Entry{Spec: spec, Start: geom.Pose{X: 0.5, Y: 0.5}})
			for part := range spec.Parts {
				w.robots[0].Do(part, robot.Command{Verb: robot.Volts, Value: 9})
			}
		}
		if i%5 == 0 {
			w.Sense()
			leg := math.Sin(float64(i) * 0.0012)
			w.robots[0].SetDriveVolts(8*leg+2, 8*leg-1)
		}
		w.Step()
		w.TakeEvents()
	}
	b.ReportMetric(stepLength*float64(b.N)/b.Elapsed().Seconds(), "sim-s/s")
}
