package robot

import (
	"math"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
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
				edges = withEdge(edges, Edge{across, out})
			} else if in+at < tiny {
				edges = withEdge(edges, Edge{geom.Scale(-1, across), in})
			}
		}
	}
	if edges == nil {
		return ends
	}
	return edges
}

// withEdge adds an edge unless three wheels in a line have given it before.
func withEdge(edges []Edge, e Edge) []Edge {
	for _, known := range edges {
		if geom.Dot(known.Normal, e.Normal) > 1-tiny && math.Abs(known.Offset-e.Offset) < tiny {
			return edges
		}
	}
	return append(edges, e)
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

// Tip is a side over which the robot tips when its centre of mass has an acceleration of Accel (m/s^2) away from it.
type Tip struct {
	Normal geom.Vec // outwards, unit
	Reach  float64  // m: of the centre of mass from that side
	Accel  float64
}

// tips are all sides of the robot, holding nothing.
//
// The weight m g acts within the wheels at a distance l from the edge that the acceleration a throws it towards, the
// tyres' force m a at the floor has the arm h to the centre of mass. The wheels away from the edge bear nothing when
// m a h = m g l, so a = g l/h: the quasi-static condition for tipping (Meriam & Kraige, Dynamics, ch. 6, general plane
// motion; from memory).
func (r *Robot) tips() []Tip {
	if r.Chassis.CentreHeight == 0 {
		return nil
	}
	var tips []Tip
	for _, e := range r.Edges() {
		reach := math.Max(e.Reach(r.Chassis.Centre), 0)
		tips = append(tips, Tip{e.Normal, reach, Gravity * reach / r.Chassis.CentreHeight})
	}
	return tips
}

// ownTips are the sides over which the robot's own tyres can tip it on a floor of grip 1, however its weight shifts.
func (r *Robot) ownTips() []Tip {
	var along, across float64
	for _, w := range r.Wheels {
		across = max(across, w.Across)
		if w.Train != Free {
			along = max(along, w.Along)
		}
	}
	return slices.DeleteFunc(r.tips(), func(t Tip) bool {
		return t.Accel > Gravity*portable.Hypot(t.Normal.X*along, t.Normal.Y*across)
	})
}

// TipsAt is the acceleration in a direction (unit, robot frame) at which the robot, holding nothing, would tip, m/s^2;
// +Inf: never.
func (r *Robot) TipsAt(direction geom.Vec) float64 {
	least := math.Inf(1)
	for _, t := range r.tips() {
		if toward := -geom.Dot(t.Normal, direction); toward > tiny {
			least = math.Min(least, t.Accel/toward)
		}
	}
	return least
}
