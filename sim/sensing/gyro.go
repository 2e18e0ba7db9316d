package sensing

import (
	"math"
	"math/rand/v2"

	"chalkfield/internal/base/portable"
	"chalkfield/sim/robot"
)

// Gyro is the drift of an inertial sensor's heading: what it reads besides the true rotation. Scale error, resolution
// and the rest are the Channel's.
type Gyro struct {
	walk, biasWalk float64
	chance         *rand.Rand // nil: only the constant bias
	bias           float64    // rad/s
	drift          float64    // rad
}

// NewGyro drifts as the sensor's file entry says, plus a bias in rad/s as drawn for one rehearsal.
func NewGyro(spec *robot.InertialSensor, bias float64, chance *rand.Rand) *Gyro {
	return &Gyro{walk: spec.Walk, biasWalk: spec.BiasWalk, chance: chance, bias: spec.Bias + bias}
}

// Step goes on by dt seconds and returns the drift so far, in rad.
//
// IEEE Std 952 (from memory): the angle error is the integral of a rate error made of a bias, white noise with the
// angle random walk coefficient N and a random walk of the bias with coefficient K:
//
//	dtheta = b dt + N dW1,  db = K dW2
//
// with each W a Wiener process, so that an increment over dt is sqrt(dt) of a unit normal.
func (g *Gyro) Step(dt float64) float64 {
	g.drift += float64(g.bias * dt)
	if g.chance == nil {
		return g.drift
	}
	if g.walk > 0 {
		g.drift += float64(g.walk * math.Sqrt(dt) * portable.Normal(g.chance))
	}
	if g.biasWalk > 0 {
		g.bias += float64(g.biasWalk * math.Sqrt(dt) * portable.Normal(g.chance))
	}
	return g.drift
}
