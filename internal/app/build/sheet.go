package build

import (
	"math"
	"slices"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"

	"gonum.org/v1/gonum/spatial/r2"
)

// Sheet is what a file shows: its drawing and what can be done with it. Places are in m, in the frame of the drawing.
type Sheet struct {
	Field     *fields.Field // what is drawn of it, where it is a field
	Robot     *robot.Robot  // or a robot
	Picture   *fields.Picture
	Groups    []Group
	Shapes    []Shape
	Problems  []Problem
	Frame     geom.Symmetry // that copies are made by
	Low, High geom.Vec      // what is to be seen
	Tile      float64       // lines to snap onto; 0: there are none
}

// Group is a part of the file in the list beside the drawing: a table, or a list of them.
type Group struct {
	Path, Title string
	List        bool
	Items       []Item // of a table: itself
}

// Item is a table that can be chosen.
type Item struct{ Path, Words string }

// Outline is a line of a shape.
type Outline struct {
	Points []geom.Vec
	Closed bool
}

// Shape is a thing of the drawing.
type Shape struct {
	Path   string // of its table
	Words  string // what it is called
	At     geom.Vec
	Lines  []Outline
	Copies []Outline // made by the symmetry
	Grips  []Grip
	Move   func(by geom.Vec) []Edit // of the whole; nil: it cannot be moved so
	Edges  string                   // path of the list of its corners, where more can be put in; "": there are none
	Corner func(at geom.Vec) []Edit // what puts one in; nil: the place goes into that list
	Mirror func() []Edit            // what makes it its image on the other side; nil: it has none
}

// Grip is a place of a shape that can be dragged by itself.
type Grip struct {
	Path  string // of what it stands for
	Words string
	At    geom.Vec
	About *geom.Vec                // it turns about this; nil: it does not turn
	Drag  func(to geom.Vec) []Edit // what is written when it is dragged there
	Take  []Edit                   // what takes it away; nil: it stays
}

// Problem is something wrong, or doubtful, at a key.
type Problem struct {
	Path     string // of the key
	What     string // what is wrong and what to do
	Doubtful bool   // it may be meant
	Line     int    // of the file; 0: nowhere
}

// Of reports whether a problem is of a table.
func (p Problem) Of(path string) bool { return path != "" && leadsInto(p.Path, path) }

// leadsInto reports whether a path is another, or goes on from it.
func leadsInto(path, of string) bool {
	rest, found := strings.CutPrefix(path, of)
	return found && (rest == "" || rest[0] == '.' || rest[0] == '[')
}

// Shape is the one of a table, nil for none.
func (s *Sheet) Shape(path string) *Shape {
	for i := range s.Shapes {
		if s.Shapes[i].Path == path {
			return &s.Shapes[i]
		}
	}
	return nil
}

// ProblemsOf are those of a table.
func (s *Sheet) ProblemsOf(path string) (list []Problem) {
	for _, p := range s.Problems {
		if p.Of(path) {
			list = append(list, p)
		}
	}
	return list
}

// Errors is how many problems make the file be refused.
func (s *Sheet) Errors() (n int) {
	for _, p := range s.Problems {
		if !p.Doubtful {
			n++
		}
	}
	return n
}

// At is the shape at a place, of those that are taken: of several the smallest. copied tells that it was its copy.
func (s *Sheet) At(v geom.Vec, within float64, taken func(path string) bool) (found *Shape, copied bool) {
	least := math.Inf(1)
	for i := range s.Shapes {
		shape := &s.Shapes[i]
		if !taken(shape.Path) {
			continue
		}
		for k, lines := range [][]Outline{shape.Lines, shape.Copies} {
			for _, line := range lines {
				if size, ok := line.holds(v, within); ok && size < least {
					found, copied, least = shape, k == 1, size
				}
			}
		}
	}
	return found, copied
}

// holds reports whether a place is on a line or inside, and how large the outline is.
func (o Outline) holds(v geom.Vec, within float64) (size float64, ok bool) {
	if o.Closed && len(o.Points) >= 3 {
		p := geom.Polygon(o.Points)
		return math.Abs(p.Area()), p.Contains(v) || p.Distance(v) <= within/2
	}
	for i := 0; i+1 < len(o.Points); i++ {
		if geom.DistanceToSegment(v, o.Points[i], o.Points[i+1]) <= within {
			return lineSize, true
		}
	}
	return 0, false
}

// lineSize is as how large an outline a line counts, m^2: what stands on one is taken before it, the zone that it
// crosses is not.
const lineSize = 0.15

// Mirrored is a step of a copy as a step of its original.
func (s *Sheet) Mirrored(by geom.Vec) geom.Vec {
	return r2.Sub(s.Frame.Point(by), s.Frame.Point(geom.Vec{}))
}

// Snap brings a place onto lines of tiles and of the corners and middles of shapes, but those of one.
func (s *Sheet) Snap(to geom.Vec, within float64, but string) geom.Vec {
	xs, ys := s.lines(to, but)
	return geom.Vec{X: geom.Nearest(xs, to.X, within), Y: geom.Nearest(ys, to.Y, within)}
}

// SnapBy changes the step of a whole shape so that one of its own corners, or its middle, comes onto such a line.
func (s *Sheet) SnapBy(shape *Shape, by geom.Vec, within float64) geom.Vec {
	var stepX, stepY float64
	leastX, leastY := within, within
	for _, own := range shape.marks() {
		to := r2.Add(own, by)
		xs, ys := s.lines(to, shape.Path)
		if d := geom.Nearest(xs, to.X, leastX) - to.X; d != 0 && math.Abs(d) < leastX {
			stepX, leastX = d, math.Abs(d)
		} else if slices.Contains(xs, to.X) {
			stepX, leastX = 0, 0
		}
		if d := geom.Nearest(ys, to.Y, leastY) - to.Y; d != 0 && math.Abs(d) < leastY {
			stepY, leastY = d, math.Abs(d)
		} else if slices.Contains(ys, to.Y) {
			stepY, leastY = 0, 0
		}
	}
	return geom.Vec{X: by.X + stepX, Y: by.Y + stepY}
}

// marks are the places of a shape that others snap onto.
func (s *Shape) marks() []geom.Vec {
	out := []geom.Vec{s.At}
	for _, g := range s.Grips {
		if g.About == nil {
			out = append(out, g.At)
		}
	}
	return out
}

func (s *Sheet) lines(to geom.Vec, but string) (xs, ys []float64) {
	if s.Tile > 0 {
		xs, ys = append(xs, math.Round(to.X/s.Tile)*s.Tile), append(ys, math.Round(to.Y/s.Tile)*s.Tile)
	}
	for i := range s.Shapes {
		if s.Shapes[i].Path == but {
			continue
		}
		for _, v := range s.Shapes[i].marks() {
			xs, ys = append(xs, v.X), append(ys, v.Y)
			if s.Robot != nil {
				ys = append(ys, -v.Y)
			}
		}
	}
	return xs, ys
}
