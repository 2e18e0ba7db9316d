package misfit

import (
	"fmt"
	"math"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"

	"gonum.org/v1/gonum/spatial/r2"
)

// hull is the chassis as the world meets it: its outline, in the robot's frame.
type hull geom.Polygon

// clearance is how far a place is from the hull in m, negative inside it.
func (h hull) clearance(v geom.Vec) float64 {
	d := geom.Polygon(h).Distance(v)
	if geom.Polygon(h).Contains(v) {
		return -d
	}
	return d
}

// nearest is the place in the hull that is nearest to v.
func (h hull) nearest(v geom.Vec) geom.Vec { return geom.Polygon(h).Nearest(v) }

// outward is the place nearest to v, in steps of 10 mm along a direction (rad), that is as far from the hull as need
// (m). There is one in every direction from every place: the hull is a few metres at most.
func (h hull) outward(v geom.Vec, along, need float64) geom.Vec {
	const stepsPerMetre, far, rounding = 100, 10, 1e-6
	for k := range far * stepsPerMetre {
		if at := r2.Add(v, geom.Scale(float64(k)/stepsPerMetre, geom.Unit(along))); h.clearance(at) >= need-rounding {
			return at
		}
	}
	return v
}

// inner is how near a piece's centre comes to a flat wall: the radius of a disc, half the width across the flats of the
// others.
func inner(k fields.PieceKind) float64 {
	if k.Corners == 0 {
		return k.Radius
	}
	return k.Radius * portable.Cos(math.Pi/float64(k.Corners))
}

// slimmest is the kind whose centre comes nearest to the hull.
func slimmest(kinds []fields.PieceKind) fields.PieceKind {
	best := kinds[0]
	for _, k := range kinds {
		if inner(k) < inner(best) {
			best = k
		}
	}
	return best
}

// bulkiest is the kind that needs the most room to be put down.
func bulkiest(kinds []fields.PieceKind) fields.PieceKind {
	best := kinds[0]
	for _, k := range kinds {
		if k.Radius > best.Radius {
			best = k
		}
	}
	return best
}

// place is a place as a robot file has it.
func place(v geom.Vec) string { return fmt.Sprintf(`["%.0f mm", "%.0f mm"]`, whole(v.X), whole(v.Y)) }

// whole is a length in whole millimetres, without a minus before zero.
func whole(x float64) float64 { return math.Round(1000*x) + 0 }

// gap is a clearance in words.
func gap(clearance float64) string {
	if clearance < 0 {
		return fmt.Sprintf("%.0f mm inside the hull", whole(-clearance))
	}
	return fmt.Sprintf("%.0f mm from the hull", whole(clearance))
}
