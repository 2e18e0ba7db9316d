package geom

import "math"

// Symmetry maps one half of a field onto the other. Each mapping is its own inverse, but for whole turns of a heading.
// The zero value maps nothing.
type Symmetry struct {
	Kind   SymmetryKind
	Centre Vec // m: of the half turn; the mirror line goes through it
}

// SymmetryKind is how a Symmetry maps.
type SymmetryKind int

const (
	NoSymmetry SymmetryKind = iota
	HalfTurn                // turned by 180 degrees about Centre
	MirrorX                 // x mirrored: left and right change places
	MirrorY                 // y mirrored
)

// Point maps a point, in metres.
func (s Symmetry) Point(v Vec) Vec {
	x, y := float64(2*s.Centre.X)-v.X, float64(2*s.Centre.Y)-v.Y
	switch s.Kind {
	case HalfTurn:
		return Vec{X: x, Y: y}
	case MirrorX:
		return Vec{X: x, Y: v.Y}
	case MirrorY:
		return Vec{X: v.X, Y: y}
	}
	return v
}

// Heading maps a heading in radians, wrapped.
func (s Symmetry) Heading(h float64) float64 {
	switch s.Kind {
	case HalfTurn:
		h += math.Pi
	case MirrorX:
		h = math.Pi - h
	case MirrorY:
		h = -h
	}
	return WrapAngle(h)
}

// Pose maps a pose.
func (s Symmetry) Pose(p Pose) Pose {
	at := s.Point(p.At())
	return Pose{X: at.X, Y: at.Y, Heading: s.Heading(p.Heading)}
}

// Flips reports whether left becomes right.
func (s Symmetry) Flips() bool { return s.Kind == MirrorX || s.Kind == MirrorY }
