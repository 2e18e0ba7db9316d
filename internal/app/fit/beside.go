package fit

import (
	"math"

	"chalkfield/sim/robot"
)

// How well is known what no row of a user's is for: where the centre of mass is by balancing the robot, how much more a
// train that stands holds, how a wheel rolls, and how the front wheels are held to the side against those behind.
// Common practice, no source.
const (
	centreSD    = 0.005 // m
	breakawaySD = 0.1
	rollingSD   = 0.3  // of its logarithm
	unlikeSD    = 0.05 // of the logarithm of the front wheels' hold over that of those behind
)

// besideRows are values of a file that may be off and that no user asks for. Where the centre of mass is to the side
// looks like a side that pushes less, and how far ahead like scrub: the logs tell both, and the file keeps its own. The
// others are told by little, and the intervals allow for them.
func besideRows() []*row {
	beside := func(key string, sd float64, apply func(r *robot.Robot, by float64)) *row {
		return &row{keys: []string{key}, sd: 1, low: -4, high: 4, step: 0.2, takes: anyMotion, quiet: true,
			apply: func(m *machine, number float64) { apply(m.spec, sd*number) }}
	}
	allowed := func(r *row) *row { r.allowed = true; return r }
	return []*row{
		beside("chassis.centre[0]", centreSD, func(r *robot.Robot, by float64) { r.Chassis.Centre.X += by }),
		beside("chassis.centre[1]", centreSD, func(r *robot.Robot, by float64) { r.Chassis.Centre.Y += by }),
		allowed(beside("drive.breakaway", breakawaySD, func(r *robot.Robot, by float64) {
			r.Drive.Breakaway = math.Max(1, r.Drive.Breakaway+by)
		})),
		allowed(beside("wheels.rolling", rollingSD, func(r *robot.Robot, by float64) {
			for i := range r.Wheels {
				r.Wheels[i].Rolling *= math.Exp(by)
			}
		})),
		allowed(beside("wheels.across front", unlikeSD, func(r *robot.Robot, by float64) {
			for i := range r.Wheels {
				if w := &r.Wheels[i]; w.At.X > r.Chassis.Centre.X {
					w.Across *= math.Exp(by)
				}
			}
		})),
	}
}
