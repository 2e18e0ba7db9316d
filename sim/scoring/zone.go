package scoring

import (
	"math"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"

	"gonum.org/v1/gonum/spatial/r2"
)

// zone is a zone of the field with its bounds.
type zone struct {
	fields.Zone
	whole     geom.Polygon // that a thing must be in with all of it
	low, high geom.Vec
}

func newZone(z fields.Zone, floor geom.Polygon) zone {
	low, high := z.Shape.Bounds()
	return zone{z, beyondWalls(z.Shape, floor), low, high}
}

// beyondWalls is a zone without its borders along walls: what is pressed against a wall lies in it by a fraction of a
// millimetre, and nothing is ever outside there.
func beyondWalls(shape, floor geom.Polygon) geom.Polygon {
	const beyond = 0.02 // m
	out := make(geom.Polygon, len(shape))
	ccw := math.Copysign(1, shape.Area())
	normal := func(i int) (n geom.Vec, by float64) {
		a, b := shape[i], shape[(i+1)%len(shape)]
		along := geom.Direction(r2.Sub(b, a))
		if onWall(a, b, floor) {
			by = beyond
		}
		return geom.Vec{X: ccw * along.Y, Y: -ccw * along.X}, by
	}
	for i, v := range shape {
		n, n1 := normal((i + len(shape) - 1) % len(shape))
		m, m1 := normal(i)
		turn := geom.Cross(n, m)
		if math.Abs(turn) < 1e-3 { // the borders go on straight
			out[i] = r2.Add(v, geom.Scale(max(n1, m1), n))
			continue
		}
		// by d such that n d = n1 and m d = m1
		out[i] = r2.Add(v, geom.Vec{X: (float64(n1*m.Y) - float64(m1*n.Y)) / turn,
			Y: (float64(m1*n.X) - float64(n1*m.X)) / turn})
	}
	return out
}

// onWall reports whether a border lies along a wall, to a millimetre.
func onWall(a, b geom.Vec, floor geom.Polygon) bool {
	const near = 1e-3 // m
	for i, v := range floor {
		w := floor[(i+1)%len(floor)]
		if geom.DistanceToSegment(a, v, w) < near && geom.DistanceToSegment(b, v, w) < near {
			return true
		}
	}
	return false
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

// inZone reports whether a thing is in a zone of a rule, of an owner that will do, and whose that is. In nobody's zones
// and in those of one side it is that side's; in zones of several sides at once it is nobody's, as no side has more of
// it.
func (s *Scorer) inZone(r *rule, of owner, f footprint) (in bool, side int) {
	side = -1
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
		if !z.has(r.Inside, f, s.outline) {
			continue
		}
		if in = true; z.Side >= 0 && side >= 0 && z.Side != side {
			return true, -1
		}
		side = max(side, z.Side)
	}
	return in, side
}

// stood reports whether a robot is in such a zone.
func (s *Scorer) stood(r *rule, of owner, robot *Robot) bool {
	in, _ := s.inZone(r, of, footprint{robot.At, 0, robot.Outline})
	return in
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
		return z.whole.Distance(f.at.At()) >= f.radius-touching
	case inside == fields.Any:
		return z.Shape.Meets(placed)
	}
	return z.whole.Holds(placed)
}
