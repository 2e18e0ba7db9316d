package robot

import (
	"math"

	"chalkfield/internal/base/geom"
)

// Edge is a side of the polygon that the wheels stand on, over which the robot would tip.
type Edge struct {
	Normal geom.Vec // outwards, unit
	Offset float64  // m from the robot's origin along the normal
}

// Reach is how far a centre of mass (robot frame, m) lies within the edge, m.
func (e Edge) Reach(centre geom.Vec) float64 { return e.Offset - geom.Dot(e.Normal, centre) }

// Edges are the sides of the wheels' convex hull. Wheels in one line have only its two ends: whatever holds such a
// robot up across the line is not in the file.
func (r *Robot) Edges() []Edge {
	wheels := r.Wheels
	var edges, ends []Edge
	for i, a := range wheels {
		for _, b := range wheels[i+1:] {
			along := geom.Vec{X: b.At.X - a.At.X, Y: b.At.Y - a.At.Y}
			if geom.Norm(along) < tiny {
				continue
			}
			along = geom.Direction(along)
			across := geom.Vec{X: along.Y, Y: -along.X}
			out, in := r.support(across), r.support(geom.Scale(-1, across))
			if out+in < tiny { // all wheels in this line
				ends = []Edge{{along, r.support(along)}, {geom.Scale(-1, along), r.support(geom.Scale(-1, along))}}
				continue
			}
			if at := geom.Dot(across, a.At); out-at < tiny {
				edges = append(edges, Edge{across, out})
			} else if in+at < tiny {
				edges = append(edges, Edge{geom.Scale(-1, across), in})
			}
		}
	}
	if edges == nil {
		return ends
	}
	return edges
}

// tiny is a distance that no tape measures, m.
const tiny = 1e-6

// support is how far the wheels reach in a direction, m.
func (r *Robot) support(direction geom.Vec) float64 {
	far := math.Inf(-1)
	for _, w := range r.Wheels {
		far = math.Max(far, geom.Dot(direction, w.At))
	}
	return far
}

// TipsAt is the acceleration in a direction (unit, robot frame) at which the robot, holding nothing, would tip, m/s^2;
// +Inf: never.
//
// The weight m g acts within the wheels at a distance l from the edge that the acceleration a throws it towards, the
// tyres' force m a at the floor has the arm h to the centre of mass. The wheels away from the edge bear nothing when
// m a h = m g l, so a = g l/h (statics; Meriam & Kraige, Dynamics, from memory).
func (r *Robot) TipsAt(direction geom.Vec) float64 {
	least := math.Inf(1)
	for _, e := range r.Edges() {
		if toward := -geom.Dot(e.Normal, direction); toward > tiny && r.Chassis.CentreHeight > 0 {
			least = math.Min(least, Gravity*math.Max(e.Reach(r.Chassis.Centre), 0)/(r.Chassis.CentreHeight*toward))
		}
	}
	return least
}
