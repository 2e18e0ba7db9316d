package scripting

import (
	"chalkfield/internal/base/geom"
	"chalkfield/scripting/motion"
)

// wayIn is a way of turning, in the field's frame.
func wayIn(frame geom.Symmetry, w motion.Way) motion.Way {
	switch {
	case frame.Flips() && w == motion.CounterClockwise:
		return motion.Clockwise
	case frame.Flips() && w == motion.Clockwise:
		return motion.CounterClockwise
	}
	return w
}
