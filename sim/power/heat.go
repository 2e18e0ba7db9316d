package power

import (
	"chalkfield/internal/base/portable"
	"chalkfield/sim/robot"
)

// Heat is how hot a group of motors is, by the thermal image of relays that guard motors (IEC 60255-149; from memory):
//
//	tau dh/dt = (I/I_lasting)^2 - h
//
// The lasting current leads to h = 1. From robot.Hot on the current limit falls in a straight line, at h = 1 to the
// lasting current, so that h never exceeds 1. It begins at the stall current where the motor has no lower limit.
type Heat struct {
	lasting float64 // A of all motors; 0: they do not get hot
	tau     float64 // s
	cold    float64 // A: the limit of cold motors
	share   float64 // h
	squares float64 // A^2 s since the last Warm
}

func newHeat(m robot.Motor, count, limit float64) Heat {
	return Heat{lasting: count * m.Lasting, tau: m.HeatTime, cold: limit}
}

// Heat is the motors' heat as a share of that to which their lasting current leads; 0 for motors that do not get hot.
func (l *Line) Heat() float64 { return l.heat.share }

// Warm moves the heat on by a step of the currents that Flow has booked, exactly for a constant current, and sets the
// limit.
func (l *Line) Warm(dt float64) {
	if l.heat.lasting != 0 {
		l.warm(dt)
	}
}

func (l *Line) warm(dt float64) {
	h := &l.heat
	towards := h.squares / dt / (h.lasting * h.lasting)
	h.share -= float64((towards - h.share) * portable.Expm1(-dt/h.tau))
	h.squares = 0
	l.Limit = h.cold
	if over := min(1, (h.share-robot.Hot)/(1-robot.Hot)); over > 0 {
		full := min(h.cold, l.StallAmps)
		l.Limit = full - float64((full-h.lasting)*over)
	}
}
