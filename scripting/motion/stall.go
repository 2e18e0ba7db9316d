package motion

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
)

// When a robot counts as stalled.
const (
	stallTime  = 0.25                // s without moving
	stallMove  = 0.004               // m: less is not moving
	stallTurn  = 0.6 * math.Pi / 180 // rad
	stallShare = 0.12                // of the nominal voltage, commanded beyond what friction takes
)

// stallWatch looks for a robot that is driven and stays where it is. The belief alone decides: wheels may spin against
// a wall. Where the belief comes from the wheels themselves, spinning wheels look like a moving robot, as on a real
// one.
type stallWatch struct {
	at      geom.Vec
	heading float64
	since   float64 // s, driven without moving
}

// stalled takes one tick and reports whether the robot has stood still too long.
func (w *stallWatch) stalled(now *reading, pushing bool) bool {
	moved := portable.Hypot(now.at.X-w.at.X, now.at.Y-w.at.Y) > stallMove || math.Abs(now.heading-w.heading) > stallTurn
	if moved || !pushing {
		w.at, w.heading, w.since = now.at, now.heading, 0
		return false
	}
	w.since += now.dt
	return w.since >= stallTime
}

// pushing reports whether the last command was clearly more than friction takes.
func (w *wheels) pushing() bool {
	return max(math.Abs(w.alongExcess), math.Abs(w.turnExcess)) > stallShare*w.ability.Volts
}
