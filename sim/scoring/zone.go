package scoring

import (
	"math"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
)

// zone is a zone of the field with its bounds.
type zone struct {
	fields.Zone
	low, high geom.Vec
}

func newZone(z fields.Zone) zone {
	low, high := z.Shape.Bounds()
	return zone{z, low, high}
}

// footprint is what a thing covers: a disc where it has a radius and no outline (own frame), a point where it has
// neither.
type footprint struct {
	at      geom.Pose
	radius  float64
	outline geom.Polygon
}

// touching is how far outside a zone a disc's edge may lie and still count as inside, m: the rounding of sums.
const touching = 1e-9

// owner says whose zones or goals will do for a side.
type owner struct {
	side   int // -1: whoever's they are
	others bool
}

var anyones = owner{-1, false}

func ofOwn(side int) owner    { return owner{side, false} } // its own or nobody's
func ofOthers(side int) owner { return owner{side, true} }

func (o owner) will(whose int) bool {
	if o.others {
		return whose >= 0 && whose != o.side
	}
	return o.side < 0 || whose < 0 || whose == o.side
}

// zoneWith is the first zone of a rule, of an owner that will do, that a thing is in, or -1.
func (s *Scorer) zoneWith(r *rule, of owner, f footprint) int {
	for _, v := range f.outline {
		f.radius = math.Max(f.radius, geom.Norm(v))
	}
	placed := false
	for _, i := range r.zones {
		z := &s.zones[i]
		if !of.will(z.Side) || z.far(f) {
			continue
		}
		if !placed && f.outline != nil && r.Inside != fields.Centre {
			s.outline, placed = f.outline.AppendPlaced(s.outline[:0], f.at), true
		}
		if z.has(r.Inside, f, s.outline) {
			return i
		}
	}
	return -1
}

// far reports whether a thing cannot touch the zone's bounds.
func (z *zone) far(f footprint) bool {
	return f.at.X+f.radius < z.low.X-touching || f.at.X-f.radius > z.high.X+touching ||
		f.at.Y+f.radius < z.low.Y-touching || f.at.Y-f.radius > z.high.Y+touching
}

// has reports whether as much of a thing lies in the zone as asked; placed is its outline in the field's frame.
func (z *zone) has(inside fields.Inside, f footprint, placed geom.Polygon) bool {
	centre := z.Shape.Contains(f.at.At())
	switch {
	case inside == fields.Centre:
		return centre
	case inside == fields.Any && centre:
		return true
	case inside == fields.All && !centre:
		return false
	case f.outline == nil && inside == fields.Any:
		return z.Shape.Distance(f.at.At()) <= f.radius+touching
	case f.outline == nil:
		return z.Shape.Distance(f.at.At()) >= f.radius-touching
	case inside == fields.Any:
		return z.Shape.Meets(placed)
	}
	return z.Shape.Holds(placed)
}
