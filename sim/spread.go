package sim

import (
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/internal/base/record"
	"chalkfield/sim/sensing"
)

// Every drawn quantity has its own stream, named for it: adding a piece or a robot does not move the draws of others.

// draw gives a normal number of standard deviation sigma about 0, cut at 3 sigma (drawn again beyond), and notes it
// with its unit.
func (w *World) draw(name string, sigma float64, unit string) float64 {
	if w.nominal || sigma == 0 {
		return 0
	}
	stream := sensing.Stream(w.seed, "spread "+name)
	x := portable.Normal(stream)
	for math.Abs(x) > 3 {
		x = portable.Normal(stream)
	}
	w.drawn = append(w.drawn, record.Number{Name: name, Value: record.Round(x * sigma), Unit: unit})
	return x * sigma
}

// leastFactor keeps a drawn factor positive, however wide a file's spread is.
const leastFactor = 0.05

// factor draws a factor about 1 of relative standard deviation sigma.
func (w *World) factor(name string, sigma float64) float64 {
	return math.Max(leastFactor, 1+w.draw(name, sigma, ""))
}

// scatter moves a pose by draws of place (m) and heading (rad).
func (w *World) scatter(name string, at geom.Pose, place, heading float64) geom.Pose {
	return geom.Pose{
		X: at.X + w.draw(name+" x", place, "m"), Y: at.Y + w.draw(name+" y", place, "m"),
		Heading: at.Heading + w.draw(name+" heading", heading, "rad"),
	}
}

// robotDraw is what is drawn for one robot's body and drive. Pairs are left, right.
type robotDraw struct {
	start          geom.Pose
	charge         float64 // V
	motors, radius [2]float64
}

func (w *World) drawRobot(i int, e Entry) robotDraw {
	name, s := fmt.Sprintf("robot %d", i+1), e.Spec.Spread
	return robotDraw{
		start:  w.scatter(name+" start", e.Start, s.StartAt, s.StartHeading),
		charge: math.Max(w.draw(name+" charge", s.Charge, "V"), (leastFactor-1)*e.Spec.Battery.Open),
		motors: [2]float64{w.factor(name+" left motors", s.Motors), w.factor(name+" right motors", s.Motors)},
		radius: [2]float64{w.factor(name+" left radius", s.Radius), w.factor(name+" right radius", s.Radius)},
	}
}
