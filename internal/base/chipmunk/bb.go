package cp

import (
	"fmt"
	"math"
)

// BB is Chipmunk's axis-aligned 2D bounding box type. (left, bottom, right, top)
type BB struct {
	L, B, R, T float64
}

func (bb BB) String() string {
	return fmt.Sprintf("%v %v %v %v", bb.L, bb.T, bb.R, bb.B)
}

// NewBBForExtents constructs a BB centered on a point with the given extents (half sizes).
func NewBBForExtents(c Vector, hw, hh float64) BB {
	return BB{
		L: c.X - hw,
		B: c.Y - hh,
		R: c.X + hw,
		T: c.Y + hh,
	}
}

// NewBBForCircle constructs a BB for a circle with the given position and radius.
func NewBBForCircle(p Vector, r float64) BB {
	return NewBBForExtents(p, r, r)
}

// Intersects returns true if a and b intersect.
func (a BB) Intersects(b BB) bool {
	return a.L <= b.R && b.L <= a.R && a.B <= b.T && b.B <= a.T
}

// Contains returns true if other lies completely within bb.
func (bb BB) Contains(other BB) bool {
	return bb.L <= other.L && bb.R >= other.R && bb.B <= other.B && bb.T >= other.T
}

// Merge returns a bounding box that holds both bounding boxes.
func (a BB) Merge(b BB) BB {
	return BB{
		min(a.L, b.L),
		min(a.B, b.B),
		max(a.R, b.R),
		max(a.T, b.T),
	}
}

// Center returns the center of a bounding box.
func (bb BB) Center() Vector {
	return Vector{bb.L, bb.B}.Lerp(Vector{bb.R, bb.T}, 0.5)
}

// Area returns the area of the bounding box.
func (bb BB) Area() float64 {
	return float64((bb.R - bb.L) * (bb.T - bb.B))
}

// MergedArea merges a and b and returns the area of the merged bounding box.
func (a BB) MergedArea(b BB) float64 {
	return float64((max(a.R, b.R) - min(a.L, b.L)) * (max(a.T, b.T) - min(a.B, b.B)))
}

// SegmentQuery returns the fraction along the segment query the BB is hit.
// Returns cp.INFINITY if it doesn't hit.
func (bb BB) SegmentQuery(a, b Vector) float64 {
	delta := b.Sub(a)
	tmin := -INFINITY
	tmax := INFINITY

	if delta.X == 0 {
		if a.X < bb.L || bb.R < a.X {
			return INFINITY
		}
	} else {
		t1 := (bb.L - a.X) / delta.X
		t2 := (bb.R - a.X) / delta.X
		tmin = max(tmin, min(t1, t2))
		tmax = min(tmax, max(t1, t2))
	}

	if delta.Y == 0 {
		if a.Y < bb.B || bb.T < a.Y {
			return INFINITY
		}
	} else {
		t1 := (bb.B - a.Y) / delta.Y
		t2 := (bb.T - a.Y) / delta.Y
		tmin = max(tmin, min(t1, t2))
		tmax = min(tmax, max(t1, t2))
	}

	if tmin <= tmax && 0 <= tmax && tmin <= 1.0 {
		return max(tmin, 0.0)
	} else {
		return INFINITY
	}
}

// Offset returns a bounding box offseted by v.
func (bb BB) Offset(v Vector) BB {
	return BB{
		bb.L + v.X,
		bb.B + v.Y,
		bb.R + v.X,
		bb.T + v.Y,
	}
}

func (a BB) Proximity(b BB) float64 {
	return math.Abs(a.L+a.R-b.L-b.R) + math.Abs(a.B+a.T-b.B-b.T)
}
