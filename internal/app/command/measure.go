package command

import (
	"context"
	"math"
	"slices"
	"time"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/pool"
	"chalkfield/sim"
)

// bareEngine is the physics library alone on the field's bodies, none of our code in the loop: no floor friction, no
// sleep, so every body is awake. With driven, the robot's body is pushed around the same circle that worldAlone's robot
// drives, and knocks the pieces about; without, everything stands. Each call of the returned function simulates the
// given number of seconds.
func bareEngine(f *fields.Field, driven bool) func(seconds float64) {
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
	robot.SetPosition(cp.Vector{X: f.Floor[0].X + 0.6, Y: f.Floor[0].Y + 0.45}) // where the demo starts
	robot.SetAngle(math.Pi / 2)
	space.AddShape(cp.NewBox(robot, 0.4, 0.4, 0))
	for i, a := range f.Floor {
		b := f.Floor[(i+1)%len(f.Floor)]
		space.AddShape(cp.NewSegment(space.StaticBody, cp.Vector{X: a.X, Y: a.Y}, cp.Vector{X: b.X, Y: b.Y}, 0.01))
	}
	return func(seconds float64) {
		for range int(seconds / bareStep) {
			if driven {
				robot.SetVelocityVector(robot.Rotation().Mult(circleSpeed))
				robot.SetAngularVelocity(circleTurn)
			}
			space.Step(bareStep)
		}
	}
}

// bareStep is that of the bare engine, s: what the world takes where things touch.
const bareStep = 0.002

// The circle of the bare robot: about what the hauler does at 6 V and 4 V.
const (
	circleSpeed = 0.67 // m/s
	circleTurn  = -0.8 // rad/s
)

// worldAlone is the simulated world without a routine: the first entrant's robot drives in a circle at 6 V and 4 V.
func worldAlone(s rehearse.Setup) (func(seconds float64), error) {
	start := *s.Entrants[0].Routine.Start
	world, err := sim.New(sim.Config{Field: s.Field, Seed: s.Seed,
		Robots: []sim.Entry{{Spec: s.Entrants[0].Robot, Start: start}}})
	if err != nil {
		return nil, err
	}
	world.Robots()[0].SetDriveVolts(6, 4)
	return func(seconds float64) {
		for range int(seconds / rehearse.ControlTick) {
			world.Sense()
			world.Tick()
			world.TakeEvents()
		}
	}, nil
}

// wholeRehearsal is the whole rehearsal, record included, from start to end.
func wholeRehearsal(ctx context.Context, s rehearse.Setup) (simulated float64, err error) {
	rec, err := rehearse.Run(ctx, s)
	if err != nil {
		return 0, err
	}
	return rec.Samples[len(rec.Samples)-1].T, nil
}

// benchRates are simulated seconds per wall second on one core, all of the same field in the same run, so that their
// ratios mean something on any machine; and rehearsals as a study makes them.
type benchRates struct {
	Still    float64 `json:"engine_standing_simulated_s_per_s"`
	Bare     float64 `json:"engine_knocked_about_simulated_s_per_s"`
	World    float64 `json:"world_without_routine_simulated_s_per_s"`
	Full     float64 `json:"rehearsal_with_record_simulated_s_per_s"`
	OneCore  float64 `json:"trials_per_s_one_core"`
	AllCores float64 `json:"trials_per_s_all_cores"`
	Cores    int     `json:"cores"`
}

// measureRates takes turns between the four until each has run for about the given wall time, so that a slow spell of
// the machine meets all of them.
func measureRates(ctx context.Context, s rehearse.Setup, each time.Duration) (benchRates, error) {
	still, bare := bareEngine(s.Field, false), bareEngine(s.Field, true)
	world, err := worldAlone(s)
	if err != nil {
		return benchRates{}, err
	}
	second := func(simulate func(float64)) func() (float64, error) {
		return func() (float64, error) { simulate(1); return 1, nil }
	}
	loops := []func() (float64, error){
		second(still), second(bare), second(world), func() (float64, error) { return wholeRehearsal(ctx, s) },
	}
	rates, err := takeTurns(loops, each)
	if err != nil {
		return benchRates{}, err
	}
	result := benchRates{Still: rates[0], Bare: rates[1], World: rates[2], Full: rates[3], Cores: pool.Cores()}
	if result.OneCore, err = trialsRate(ctx, s, 1, each); err != nil {
		return benchRates{}, err
	}
	result.AllCores, err = trialsRate(ctx, s, result.Cores, each)
	return result, err
}

// trialsRate is how many rehearsals a second a number of workers make, each with a seed of its own and recorded as in a
// study.
func trialsRate(ctx context.Context, s rehearse.Setup, workers int, each time.Duration) (float64, error) {
	done, began := 0, time.Now()
	for time.Since(began) < each {
		seeds := make([]int, 4*workers) // so many that the wait for the last hardly counts
		for i := range seeds {
			seeds[i] = done + i
		}
		one := func(ctx context.Context, seed int) (struct{}, error) {
			setup := s
			setup.Seed, setup.Sparse = s.Seed+uint64(seed), true
			_, err := rehearse.Run(ctx, setup)
			return struct{}{}, err
		}
		if err := pool.Each(ctx, seeds, workers, one, func([]pool.Done[struct{}]) error { return nil }); err != nil {
			return 0, err
		}
		done += len(seeds)
	}
	return float64(done) / time.Since(began).Seconds(), nil
}

// takeTurns runs each loop, which tells the seconds it simulated, until it has had its wall time.
func takeTurns(loops []func() (float64, error), each time.Duration) ([]float64, error) {
	simulated, spent := make([]float64, len(loops)), make([]time.Duration, len(loops))
	for slices.Min(spent) < each {
		for i, loop := range loops {
			if spent[i] >= each {
				continue
			}
			began := time.Now()
			seconds, err := loop()
			if err != nil {
				return nil, err
			}
			spent[i] += time.Since(began)
			simulated[i] += seconds
		}
	}
	for i := range simulated {
		simulated[i] /= spent[i].Seconds()
	}
	return simulated, nil
}
