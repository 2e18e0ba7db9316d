package build

import (
	"math"
	"reflect"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"

	"gonum.org/v1/gonum/spatial/r2"
)

// usualReach is the radius at which a place without a size is taken, m.
const usualReach = 0.09

// placed is the shape of something that stands at a place, or of a grid of it.
func (b *fieldShapes) placed(item Item, at geom.Pose, v reflect.Value) Shape {
	own := b.ownOutline(v)
	s := Shape{Path: item.Path, Words: item.Words, At: at.At(), Lines: []Outline{{own.Placed(at), true}}}
	reach := 0.0
	for _, corner := range own {
		reach = math.Max(reach, geom.Norm(corner))
	}
	s.Move = func(by geom.Vec) []Edit { return []Edit{Place(item.Path+".at", r2.Add(at.At(), by))} }
	if b.turns(v) {
		s.Grips = append(s.Grips, turn(item, at, reach+0.08))
	}
	if piece, ok := v.Interface().(fields.Piece); ok && piece.Grid != nil && piece.Step != nil {
		b.grid(&s, item, piece, own)
	}
	return s
}

// turns reports whether a thing has a heading that shows: a disc in a grid, or any disc, has none.
func (b *fieldShapes) turns(v reflect.Value) bool {
	if _, pose := memberNamed(v, "at").Interface().(geom.Pose); !pose {
		return false
	}
	if piece, ok := v.Interface().(fields.Piece); ok {
		return piece.Kind >= 0 && b.kindOf(piece) != nil && b.kindOf(piece).Corners > 0
	}
	return true
}

// kindOf is the kind of a listed piece, as it is drawn; nil: it has none.
func (b *fieldShapes) kindOf(p fields.Piece) *fields.PieceKind {
	if kinds := b.draft.Field.PieceKinds; p.Kind >= 0 && p.Kind < len(kinds) {
		return &kinds[p.Kind]
	}
	return nil
}

// turn is the grip of a heading.
func turn(item Item, at geom.Pose, far float64) Grip {
	about := at.At()
	return Grip{Path: item.Path + ".heading", Words: "heading of " + item.Words, About: &about,
		At: at.ToWorld(geom.Vec{X: far}), Drag: func(to geom.Vec) []Edit {
			return []Edit{Angle(item.Path+".heading", math.Atan2(to.Y-about.Y, to.X-about.X))}
		}}
}

// ownOutline is that of a thing in its own frame.
func (b *fieldShapes) ownOutline(v reflect.Value) geom.Polygon {
	switch thing := v.Interface().(type) {
	case fields.Piece:
		kind := b.kindOf(thing)
		if kind != nil && kind.Radius > 0 && kind.Radius < 10 && kind.Corners >= 0 && kind.Corners < 100 {
			if outline := kind.Outline(); outline != nil {
				return outline
			}
			return round(kind.Radius)
		}
	case fields.Goal:
		if kinds := b.draft.Field.GoalKinds; thing.Kind >= 0 && thing.Kind < len(kinds) && len(kinds[thing.Kind].Shape) >= 3 {
			return kinds[thing.Kind].Shape
		}
	}
	return round(usualReach)
}

func round(radius float64) geom.Polygon {
	p := make(geom.Polygon, 24)
	for i := range p {
		angle := 2 * math.Pi * float64(i) / float64(len(p))
		p[i] = geom.Vec{X: radius * math.Cos(angle), Y: radius * math.Sin(angle)}
	}
	return p
}

// grid lays the pieces of a grid out. Its last piece is dragged to widen the step.
func (b *fieldShapes) grid(s *Shape, item Item, p fields.Piece, own geom.Polygon) {
	columns, rows := p.Grid[0], p.Grid[1]
	if columns < 1 || rows < 1 || columns*rows > 1000 {
		return
	}
	s.Lines = nil
	var last geom.Pose
	for row := range rows {
		for column := range columns {
			last = geom.Pose{X: p.At.X + float64(column)*p.Step.X, Y: p.At.Y + float64(row)*p.Step.Y, Heading: p.At.Heading}
			s.Lines = append(s.Lines, Outline{own.Placed(last), true})
		}
	}
	if columns*rows > 1 {
		s.Grips = append(s.Grips, Grip{Path: item.Path + ".step", Words: "last of " + item.Words, At: last.At(),
			Drag: func(to geom.Vec) []Edit {
				step := *p.Step
				if columns > 1 {
					step.X = (to.X - p.At.X) / float64(columns-1)
				}
				if rows > 1 {
					step.Y = (to.Y - p.At.Y) / float64(rows-1)
				}
				return []Edit{Place(item.Path+".step", step)}
			}})
	}
}
