package scripting

import (
	"math"

	"chalkfield/internal/geom"
	"chalkfield/scripting/motion"
)

// Frame maps a routine's coordinates to the field's, so that a routine written for one side can be played from the
// other. Each mapping is its own inverse. The zero value maps nothing.
type Frame struct {
	Kind   FrameKind
	Centre geom.Vec // m: of the half turn; the mirror line goes through it
}

// FrameKind is how a Frame maps.
type FrameKind int

const (
	SameFrame FrameKind = iota
	HalfTurn            // turned by 180 degrees about Centre
	MirrorX             // x mirrored: left and right change places
	MirrorY             // y mirrored
)

// Point maps a point, in metres.
func (f Frame) Point(v geom.Vec) geom.Vec {
	x, y := 2*f.Centre.X-v.X, 2*f.Centre.Y-v.Y
	switch f.Kind {
	case HalfTurn:
		return geom.Vec{X: x, Y: y}
	case MirrorX:
		return geom.Vec{X: x, Y: v.Y}
	case MirrorY:
		return geom.Vec{X: v.X, Y: y}
	}
	return v
}

// Heading maps a heading in radians, wrapped.
func (f Frame) Heading(h float64) float64 {
	switch f.Kind {
	case HalfTurn:
		h += math.Pi
	case MirrorX:
		h = math.Pi - h
	case MirrorY:
		h = -h
	}
	return geom.WrapAngle(h)
}

// Pose maps a pose.
func (f Frame) Pose(p geom.Pose) geom.Pose {
	at := f.Point(p.At())
	return geom.Pose{X: at.X, Y: at.Y, Heading: f.Heading(p.Heading)}
}

// Flips reports whether left becomes right.
func (f Frame) Flips() bool { return f.Kind == MirrorX || f.Kind == MirrorY }

func (f Frame) way(w motion.Way) motion.Way {
	switch {
	case f.Flips() && w == motion.CounterClockwise:
		return motion.Clockwise
	case f.Flips() && w == motion.Clockwise:
		return motion.CounterClockwise
	}
	return w
}
