package motion

import (
	"math/rand/v2"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// still is a plant for measuring the motions alone: it costs nothing and follows nobody.
type still struct {
	model robot.Model
	pose  geom.Pose
	along float64
	turn  float64
}

func (s *still) Model() robot.Model                         { return s.model }
func (s *still) Belief() geom.Pose                          { return s.pose }
func (s *still) BeliefSpeed() (float64, float64)            { return s.along, s.turn }
func (s *still) MeasuredWheelSpeeds() (left, right float64) { return s.along, s.along }
func (s *still) Terminal() float64                          { return 12 }
func (s *still) SetDriveVolts(left, right float64)          {}

// begin makes and starts a motion that does not end for want of movement.
func begin(t testing.TB, make func() (*Motion, error)) *Motion {
	motion, err := make()
	if err != nil {
		t.Fatal(err)
	}
	motion.options.Timeout = 1e9
	if err := motion.Start(&still{model: typical().Model()}); err != nil {
		t.Fatal(err)
	}
	return motion
}

func TestUpdateAllocatesNothing(t *testing.T) {
	for _, c := range everyMotion() {
		m := typical()
		motion, err := c.make()
		if err != nil {
			t.Fatal(err)
		}
		if err := motion.Start(m); err != nil {
			t.Fatal(err)
		}
		m.past = make([]snapshot, 0, 10_000)
		n := testing.AllocsPerRun(25, func() { motion.Update(tick); m.run() })
		if n != 0 {
			t.Errorf("%s: %g allocations an Update", c.name, n)
		}
	}
}

func BenchmarkUpdate(b *testing.B) {
	for _, c := range everyMotion() {
		b.Run(c.name, func(b *testing.B) {
			motion := begin(b, c.make)
			b.ReportAllocs()
			for b.Loop() {
				motion.Update(tick)
				motion.stall.since = 0 // the plant stands
			}
			if motion.Done() {
				b.Fatalf("ended: %+v", motion.Result())
			}
		})
	}
	b.Run("rate", func(b *testing.B) {
		motion := begin(b, func() (*Motion, error) { return Rate(0.5, 1, Options{}) })
		b.ReportAllocs()
		for b.Loop() {
			motion.Update(tick)
		}
	})
}

func BenchmarkStart(b *testing.B) {
	random := rand.New(rand.NewPCG(1, 1))
	many := make([]geom.Vec, 10_000)
	for i := range many {
		many[i] = geom.Vec{X: 4 * random.Float64(), Y: 3 * random.Float64()}
	}
	cases := append(everyMotion(), struct {
		name string
		make func() (*Motion, error)
	}{"trace through 10,000 random points", func() (*Motion, error) { return Trace(many, Options{}) }})
	for _, c := range cases {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				begin(b, c.make)
			}
		})
	}
}
