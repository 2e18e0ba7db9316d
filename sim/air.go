package sim

import (
	"chalkfield/sim/power"
	"chalkfield/sim/robot"
)

// newAir is the robot's reservoir, nil without pneumatics.
func newAir(spec *robot.Robot) *power.Reservoir {
	if spec.Air == nil {
		return nil
	}
	return power.NewReservoir(*spec.Air)
}

// Air is the reservoir's gauge pressure, Pa; 0 without pneumatics.
func (r *Robot) Air() float64 {
	if r.air == nil {
		return 0
	}
	return r.air.Pressure()
}

// AirStrokes is how many piston strokes have drawn air.
func (r *Robot) AirStrokes() int {
	if r.air == nil {
		return 0
	}
	return r.air.Strokes()
}
