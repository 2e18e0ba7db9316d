// Package bench measures how many simulated seconds a wall second holds, for the bare physics library, the world without
// routines, and a full rehearsal, all on the same field in the same run, so that their ratios mean something on any
// machine.
package bench

import (
	"context"
	"time"

	"chalkfield/fields"
	"chalkfield/internal/rehearse"
	"chalkfield/sim"

	"github.com/jakecoffman/cp/v2"
)

// Bare is the physics library alone on the field's bodies, every body awake and none of our code in the loop: each call
// of the returned function simulates the given number of seconds.
func Bare(f *fields.Field) func(seconds float64) {
	space := cp.NewSpace() // never sleeps unless a threshold is set
	for _, p := range f.Pieces {
		kind := f.PieceKinds[p.Kind]
		body := space.AddBody(cp.NewBody(kind.Mass, cp.MomentForCircle(kind.Mass, 0, kind.Radius, cp.Vector{})))
		body.SetPosition(cp.Vector{X: p.At.X, Y: p.At.Y})
		space.AddShape(cp.NewCircle(body, kind.Radius, cp.Vector{}))
	}
	for _, g := range f.Goals {
		kind := f.GoalKinds[g.Kind]
		if kind.Fixed {
			continue
		}
		corners := make([]cp.Vector, len(kind.Shape))
		for i, v := range kind.Shape {
			corners[i] = cp.Vector{X: v.X, Y: v.Y}
		}
		body := space.AddBody(cp.NewBody(kind.Mass, cp.MomentForPoly(kind.Mass, len(corners), corners, cp.Vector{}, 0)))
		body.SetPosition(cp.Vector{X: g.At.X, Y: g.At.Y})
		space.AddShape(cp.NewPolyShapeRaw(body, len(corners), corners, 0))
	}
	robot := space.AddBody(cp.NewBody(6, cp.MomentForBox(6, 0.4, 0.4)))
	robot.SetPosition(cp.Vector{X: f.Floor[0].X + 0.4, Y: f.Floor[0].Y + 0.4})
	space.AddShape(cp.NewBox(robot, 0.4, 0.4, 0))
	for i, a := range f.Floor {
		b := f.Floor[(i+1)%len(f.Floor)]
		space.AddShape(cp.NewSegment(space.StaticBody, cp.Vector{X: a.X, Y: a.Y}, cp.Vector{X: b.X, Y: b.Y}, 0.01))
	}
	return func(seconds float64) {
		for range int(seconds / rehearse.PhysicsStep) {
			space.Step(rehearse.PhysicsStep)
		}
	}
}

// World is the simulated world without a routine: the first entrant's robot drives in a circle at 6 V and 4 V.
func World(s rehearse.Setup) (func(seconds float64), error) {
	start := *s.Entrants[0].Routine.Start
	world, err := sim.New(sim.Config{Field: s.Field, Seed: s.Seed, Robots: []sim.Entry{{Spec: s.Entrants[0].Robot, Start: start}}})
	if err != nil {
		return nil, err
	}
	world.Robots()[0].SetDriveVolts(6, 4)
	return func(seconds float64) {
		for range int(seconds / rehearse.ControlTick) {
			world.Sense()
			for range rehearse.StepsPerTick {
				world.Step()
			}
			world.Happenings()
		}
	}, nil
}

// Full is the whole rehearsal, record included, from start to end.
func Full(ctx context.Context, s rehearse.Setup) (simulated float64, err error) {
	rec, err := rehearse.Run(ctx, s)
	if err != nil {
		return 0, err
	}
	return rec.Samples[len(rec.Samples)-1].T, nil
}

// Result is simulated seconds per wall second.
type Result struct {
	Bare  float64 `json:"bare"`
	World float64 `json:"world"`
	Full  float64 `json:"full"`
}

// Measure takes turns between the three until each has run for about the given wall time, so that a slow spell of the
// machine meets all of them.
func Measure(ctx context.Context, s rehearse.Setup, each time.Duration) (Result, error) {
	bare := Bare(s.Field)
	world, err := World(s)
	if err != nil {
		return Result{}, err
	}
	var simulated [3]float64
	var spent [3]time.Duration
	for spent[0] < each || spent[1] < each || spent[2] < each {
		for i, one := range []func() (float64, error){
			func() (float64, error) { bare(1); return 1, nil },
			func() (float64, error) { world(1); return 1, nil },
			func() (float64, error) { return Full(ctx, s) },
		} {
			if spent[i] >= each {
				continue
			}
			began := time.Now()
			seconds, err := one()
			if err != nil {
				return Result{}, err
			}
			spent[i] += time.Since(began)
			simulated[i] += seconds
		}
	}
	return Result{simulated[0] / spent[0].Seconds(), simulated[1] / spent[1].Seconds(), simulated[2] / spent[2].Seconds()}, nil
}
