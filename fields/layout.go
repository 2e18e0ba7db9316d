package fields

import (
	"math"
	"slices"

	"chalkfield/internal/base/geom"

	"gonum.org/v1/gonum/spatial/r2"
)

// solid is a piece or a goal that stands on the floor.
type solid struct {
	path, name string
	body       int // of the field's pieces, then goals
	centre     geom.Vec
	radius     float64      // m: of the disc, or to the farthest corner
	outline    geom.Polygon // in the field's frame; nil for a disc
}

// layout checks that everything stands on the floor and nothing in another's place.
func (b *builder) layout() {
	for i, z := range b.field.Zones {
		if !b.field.Floor.Holds(z.Shape) {
			b.at.Errorf(b.zoneShapePath(i), "the zone %q reaches %s: move its corners inside", z.Name, b.offFloor())
		}
	}
	solids := b.solids()
	for i, s := range solids {
		if !s.on(b.field.Floor) {
			b.at.Errorf(s.path, "%q at %s reaches %s: move it inside, its centre %s",
				s.name, place(s.centre), b.offFloor(), s.keepsOff(b.field.Floor))
			continue
		}
		for _, other := range solids[:i] {
			if depth := overlap(s, other); depth > slack {
				b.overlapping(s, other, depth)
				break
			}
		}
	}
}

func (b *builder) zoneShapePath(i int) string {
	if path := b.zonePaths[i] + ".box"; b.at.Has(path) {
		return path
	}
	return b.zonePaths[i] + ".shape"
}

func (b *builder) overlapping(s, other solid, depth float64) {
	if s.path == other.path {
		b.at.Errorf(s.path, "%q and %q, both from here, overlap by %s: widen the step, move it off the centre, or "+
			"leave copy out", other.name, s.name, length(depth))
		return
	}
	b.at.Errorf(s.path, "%q at %s overlaps %q at %s by %s: move one of them", s.name, place(s.centre), other.name,
		place(other.centre), length(depth))
}

// offFloor says where a thing is that is not on the floor. What a floor spans says enough only of a rectangle: a place
// in a cut-out lies within the span too.
func (b *builder) offFloor() string {
	_, high := b.field.Floor.Bounds()
	spans := place(geom.Vec{}) + " to " + place(high)
	if float64(high.X*high.Y)-b.field.Floor.Area() > slack {
		return "outside the floor's outline, which lies within " + spans
	}
	return "off the floor, which spans " + spans
}

// solids are those of the field, each with its path in the file.
func (b *builder) solids() []solid {
	out := b.field.solids()
	for i := range out {
		if s := &out[i]; s.body < len(b.field.Pieces) {
			s.path = b.piecePaths[s.body] + ".at"
		} else {
			s.path = b.goalPaths[s.body-len(b.field.Pieces)] + ".at"
		}
	}
	return out
}

// Within names what a piece or a goal overlaps where the field puts it; "" when it stands clear. A body's number counts
// pieces, then goals.
func (f *Field) Within(body int) string {
	solids := f.solids()
	at := slices.IndexFunc(solids, func(s solid) bool { return s.body == body })
	if at < 0 {
		return ""
	}
	for i, other := range solids {
		if i != at && overlap(solids[at], other) > slack {
			return other.name
		}
	}
	return ""
}

// solids are the goals, then the pieces that do not start in a goal. A preloaded piece has a place on the floor too,
// for when its robot is not there.
func (f *Field) solids() []solid {
	var out []solid
	for i, g := range f.Goals {
		outline := f.GoalKinds[g.Kind].Shape.Placed(g.At)
		s := solid{"", g.Name, len(f.Pieces) + i, g.At.At(), 0, outline}
		for _, v := range outline {
			s.radius = math.Max(s.radius, geom.Norm(r2.Sub(v, s.centre)))
		}
		out = append(out, s)
	}
	for i, p := range f.Pieces {
		if p.Goal >= 0 || f.LoadOf(i) >= 0 {
			continue
		}
		kind := f.PieceKinds[p.Kind]
		s := solid{"", p.Name, i, p.At.At(), kind.Radius, nil}
		if outline := kind.Outline(); outline != nil {
			s.outline = outline.Placed(p.At)
		}
		out = append(out, s)
	}
	return out
}

// keepsOff says how far the centre must stay from the walls: as far as the thing reaches along each axis, or towards
// the slanted wall that it is in.
func (s solid) keepsOff(floor geom.Polygon) string {
	along := geom.Vec{X: s.radius, Y: s.radius}
	if s.outline != nil {
		along = geom.Vec{}
		for _, v := range s.outline {
			along.X = max(along.X, math.Abs(v.X-s.centre.X))
			along.Y = max(along.Y, math.Abs(v.Y-s.centre.Y))
		}
	}
	if slanted, alone := s.intoSlant(floor); alone {
		return length(slanted) + " or more from the slanted wall"
	} else if slanted > 0 {
		return length(max(along.X, along.Y, slanted)) + " or more from the walls"
	}
	if x, y := length(along.X), length(along.Y); x != y {
		return x + " or more from the walls along x, and " + y + " along y"
	}
	return length(along.X) + " or more from the walls"
}

// intoSlant is how far the thing reaches towards the slanted walls that it is in, and whether it is in no other. 0: it
// is in none.
func (s solid) intoSlant(floor geom.Polygon) (most float64, alone bool) {
	alone = true
	for i, a := range floor {
		b := floor[(i+1)%len(floor)]
		wall := geom.Direction(r2.Sub(b, a))
		reach := s.radius
		if s.outline != nil {
			reach = 0
			for _, v := range s.outline {
				reach = max(reach, math.Abs(geom.Cross(wall, r2.Sub(v, s.centre))))
			}
		}
		switch {
		case geom.DistanceToSegment(s.centre, a, b) >= reach:
		case math.Abs(wall.X) < slack || math.Abs(wall.Y) < slack:
			alone = false
		default:
			most = max(most, reach)
		}
	}
	return most, alone && most > 0
}

// on reports whether all of it stands on the floor.
func (s solid) on(floor geom.Polygon) bool {
	if s.outline == nil {
		return floor.Contains(s.centre) && floor.Distance(s.centre) >= s.radius-slack
	}
	smaller := make(geom.Polygon, len(s.outline))
	for i, v := range s.outline {
		smaller[i] = r2.Add(s.centre, geom.Scale(1-slack/s.radius, r2.Sub(v, s.centre)))
	}
	return floor.Holds(smaller)
}

// overlap is how far two solids lie in each other, in m; not positive when they are apart.
func overlap(a, b solid) float64 {
	apart := geom.Norm(r2.Sub(a.centre, b.centre)) - a.radius - b.radius
	switch {
	case apart > 0 || a.outline == nil && b.outline == nil:
		return -apart
	case a.outline == nil:
		return reach(b.outline, a.centre) + a.radius
	case b.outline == nil:
		return reach(a.outline, b.centre) + b.radius
	}
	return geom.Depth(a.outline, b.outline)
}

// reach is how deep a point lies in a polygon, negative outside.
func reach(p geom.Polygon, v geom.Vec) float64 {
	if p.Contains(v) {
		return p.Distance(v)
	}
	return -p.Distance(v)
}
