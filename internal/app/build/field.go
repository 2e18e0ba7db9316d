package build

import (
	"fmt"
	"math"
	"path/filepath"
	"reflect"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/tomlfile"

	"gonum.org/v1/gonum/spatial/r2"
)

// Field is the subject of field files.
type Field struct{}

// Format is the field file's.
func (Field) Format() reflect.Type { return reflect.TypeFor[fields.Field]() }

// Read reads a field, whole or not.
func (f Field) Read(path string, text []byte) (*Sheet, error) {
	draft, err := fields.ReadDraft(path, text)
	if err != nil {
		return nil, err
	}
	values, err := tomlfile.ValuesOf(text)
	if err != nil {
		return nil, err
	}
	s := &Sheet{Field: draft.Field, Picture: draft.Listed.Picture, Groups: Groups(f.Format(), "game", values),
		Tile: draft.Field.Tile}
	s.Low, s.High = draft.Field.Floor.Bounds()
	if draft.Listed.Symmetry != fields.NoSymmetry {
		s.Frame = draft.Field.Frame()
	}
	b := fieldShapes{s, draft, values}
	b.picture()
	b.floor()
	b.lists()
	for _, e := range draft.Wrong {
		s.Problems = append(s.Problems, Problem{Path: e.Key, What: e.What, Line: e.Line})
	}
	for _, d := range draft.Doubts() {
		s.Problems = append(s.Problems, Problem{Path: d.Path, What: d.What, Doubtful: true})
	}
	return s, nil
}

// fieldShapes makes the shapes of a field.
type fieldShapes struct {
	*Sheet
	draft  *fields.Draft
	values *tomlfile.Values
}

// picture can be moved, and made larger at its corner.
func (b *fieldShapes) picture() {
	p := b.draft.Listed.Picture
	if p == nil || !b.values.Given("picture.box") {
		return
	}
	box := geom.Rect(p.Box[0], p.Box[1])
	shape := b.boxed("picture", "the picture", p.Box)
	low, high := box[0], box[2]
	shape.At = low
	shape.Grips = []Grip{{Path: "picture.box", Words: "size of the picture", At: high,
		Drag: func(to geom.Vec) []Edit {
			if !(high.X > low.X) || !(high.Y > low.Y) {
				return nil
			}
			share := math.Max((to.X-low.X)/(high.X-low.X), (to.Y-low.Y)/(high.Y-low.Y))
			return PictureBox(low, r2.Add(low, r2.Scale(math.Max(share, 0.01), r2.Sub(high, low))))
		}}}
	b.Shapes = append(b.Shapes, shape)
}

// PictureBox are the edits that put the picture between two corners.
func PictureBox(low, high geom.Vec) []Edit {
	return []Edit{Place("picture.box[0]", low), Place("picture.box[1]", high)}
}

// Scaled makes the picture as large as it must be for two places seen on it to be a distance apart, m. The first stays
// where it is.
func (s *Sheet) Scaled(a, b geom.Vec, distance float64) ([]Edit, error) {
	far := geom.Norm(r2.Sub(b, a))
	if s.Picture == nil {
		return nil, fmt.Errorf("there is no picture: add one first")
	}
	if far < 0.001 || !(distance > 0) {
		return nil, fmt.Errorf("two places on one spot tell no scale: click two that lie far apart")
	}
	scale := distance / far
	moved := func(v geom.Vec) geom.Vec { return r2.Add(a, r2.Scale(scale, r2.Sub(v, a))) }
	box := geom.Rect(s.Picture.Box[0], s.Picture.Box[1])
	return PictureBox(moved(box[0]), moved(box[2])), nil
}

func (b *fieldShapes) floor() {
	f := b.draft.Listed
	shape := Shape{Path: "", Words: "floor", Lines: []Outline{{b.draft.Field.Floor, true}}}
	switch {
	case f.Size != nil:
		shape.At = *f.Size
		shape.Grips = []Grip{{Path: "size", Words: "size of the floor", At: *f.Size,
			Drag: func(to geom.Vec) []Edit { return []Edit{Place("size", to)} }}}
		shape.Edges = "size"
	case len(f.Floor) > 0:
		shape.At, shape.Edges = f.Floor[0], "floor"
		for i, v := range f.Floor {
			shape.Grips = append(shape.Grips, b.floorCorner(i, v))
		}
	}
	b.Shapes = append(b.Shapes, shape)
}

// floorCorner is dragged with its counterpart by the symmetry, so that the floor stays symmetric.
func (b *fieldShapes) floorCorner(i int, v geom.Vec) Grip {
	floor := b.draft.Listed.Floor
	path := fmt.Sprintf("floor[%d]", i)
	twin := -1
	for k, w := range floor {
		if k != i && b.Frame.Kind != geom.NoSymmetry && geom.Norm(r2.Sub(w, b.Frame.Point(v))) < 0.001 {
			twin = k
		}
	}
	g := Grip{Path: path, Words: fmt.Sprintf("corner %d of the floor", i+1), At: v, Drag: func(to geom.Vec) []Edit {
		to = geom.Vec{X: math.Max(to.X, 0), Y: math.Max(to.Y, 0)}
		edits := []Edit{Place(path, to)}
		if twin < 0 {
			return edits
		}
		span := to // of the floor with the corner there
		for k, w := range floor {
			if k != i && k != twin {
				span = geom.Vec{X: math.Max(span.X, w.X), Y: math.Max(span.Y, w.Y)}
			}
		}
		frame := b.Frame
		if to.X > span.X-finest || to.Y > span.Y-finest {
			frame.Centre = geom.Vec{X: math.Max(span.X/2, frame.Centre.X), Y: math.Max(span.Y/2, frame.Centre.Y)}
		}
		return append(edits, Place(fmt.Sprintf("floor[%d]", twin), frame.Point(to)))
	}}
	if len(floor) > 3 {
		g.Take = []Edit{Take(path)}
		if twin >= 0 && len(floor) > 4 {
			g.Take = []Edit{Take(fmt.Sprintf("floor[%d]", max(i, twin))), Take(fmt.Sprintf("floor[%d]", min(i, twin)))}
		}
	}
	return g
}

// lists makes the shapes of all lists of tables that have places: what comes into the format has a shape by itself.
func (b *fieldShapes) lists() {
	listed := reflect.ValueOf(b.draft.Listed).Elem()
	for _, g := range b.Groups {
		if !g.List || strings.HasSuffix(g.Path, "_kinds") {
			continue
		}
		list := memberNamed(listed, g.Path)
		for i := range min(list.Len(), len(g.Items)) {
			b.shape(g.Items[i], list.Index(i))
		}
	}
}

// memberNamed is the member of a struct that a key of the file is decoded into.
func memberNamed(v reflect.Value, key string) reflect.Value {
	for _, f := range reflect.VisibleFields(v.Type()) {
		if name, _, _ := strings.Cut(f.Tag.Get("toml"), ","); name == key {
			return v.FieldByIndex(f.Index)
		}
	}
	return reflect.Value{}
}

// shape makes the shape of one table, by the keys that say where it is.
func (b *fieldShapes) shape(item Item, v reflect.Value) {
	at := memberNamed(v, "at")
	given := func(key string) bool { return b.values.Given(item.Path + "." + key) }
	switch {
	case given("box"):
		if box, ok := memberNamed(v, "box").Interface().(*[2]geom.Vec); ok {
			b.put(b.boxed(item.Path, item.Words, *box), v)
		}
	case given("shape"):
		if corners, ok := memberNamed(v, "shape").Interface().(geom.Polygon); ok && len(corners) > 0 {
			b.put(b.cornered(item, corners), v)
		}
	case given("from") && given("to"):
		from, _ := memberNamed(v, "from").Interface().(geom.Vec)
		to, _ := memberNamed(v, "to").Interface().(geom.Vec)
		b.put(segment(item, from, to), v)
	case given("at") && at.IsValid():
		switch pose := at.Interface().(type) {
		case geom.Pose:
			b.put(b.placed(item, pose, v), v)
		case geom.Vec:
			b.put(b.placed(item, geom.Pose{X: pose.X, Y: pose.Y}, v), v)
		}
	}
}

// put takes a shape up, with its copies.
func (b *fieldShapes) put(s Shape, v reflect.Value) {
	if copied := memberNamed(v, "copy"); copied.IsValid() && copied.Kind() == reflect.Bool && copied.Bool() &&
		b.Frame.Kind != geom.NoSymmetry {
		for _, line := range s.Lines {
			s.Copies = append(s.Copies, Outline{mirrored(b.Frame, line.Points), line.Closed})
		}
	}
	b.Shapes = append(b.Shapes, s)
}

// boxed is the shape of two opposite corners.
func (b *fieldShapes) boxed(path, words string, box [2]geom.Vec) Shape {
	corners := geom.Rect(box[0], box[1])
	s := Shape{Path: path, Words: words, At: r2.Scale(0.5, r2.Add(box[0], box[1])), Lines: []Outline{{corners, true}},
		Edges: path + ".box"}
	for x := range 2 {
		for y := range 2 {
			s.Grips = append(s.Grips, Grip{Path: path + ".box", Words: "corner of " + words,
				At: geom.Vec{X: box[x].X, Y: box[y].Y}, Drag: func(to geom.Vec) []Edit {
					now := box
					now[x].X, now[y].Y = to.X, to.Y
					return []Edit{Place(path+".box[0]", now[0]), Place(path+".box[1]", now[1])}
				}})
		}
	}
	s.Move = func(by geom.Vec) []Edit {
		return []Edit{Place(path+".box[0]", r2.Add(box[0], by)), Place(path+".box[1]", r2.Add(box[1], by))}
	}
	return s
}

// cornered is the shape of a list of corners.
func (b *fieldShapes) cornered(item Item, corners geom.Polygon) Shape {
	s := Shape{Path: item.Path, Words: item.Words, Lines: []Outline{{corners, true}}, Edges: item.Path + ".shape"}
	path := func(i int) string { return fmt.Sprintf("%s.shape[%d]", item.Path, i) }
	for i, v := range corners {
		s.At = r2.Add(s.At, r2.Scale(1/float64(len(corners)), v))
		g := Grip{Path: path(i), Words: fmt.Sprintf("corner %d of %s", i+1, item.Words), At: v,
			Drag: func(to geom.Vec) []Edit { return []Edit{Place(path(i), to)} }}
		if len(corners) > 3 {
			g.Take = []Edit{Take(path(i))}
		}
		s.Grips = append(s.Grips, g)
	}
	s.Move = func(by geom.Vec) (edits []Edit) {
		for i, v := range corners {
			edits = append(edits, Place(path(i), r2.Add(v, by)))
		}
		return edits
	}
	return s
}

// segment is the shape of a line.
func segment(item Item, from, to geom.Vec) Shape {
	end := func(key, words string, v geom.Vec) Grip {
		return Grip{Path: item.Path + "." + key, Words: words + " of " + item.Words, At: v,
			Drag: func(to geom.Vec) []Edit { return []Edit{Place(item.Path+"."+key, to)} }}
	}
	return Shape{Path: item.Path, Words: item.Words, At: r2.Scale(0.5, r2.Add(from, to)),
		Lines: []Outline{{[]geom.Vec{from, to}, false}}, Grips: []Grip{end("from", "end", from), end("to", "end", to)},
		Move: func(by geom.Vec) []Edit {
			return []Edit{Place(item.Path+".from", r2.Add(from, by)), Place(item.Path+".to", r2.Add(to, by))}
		}}
}

func mirrored(by geom.Symmetry, points []geom.Vec) []geom.Vec {
	out := make([]geom.Vec, len(points))
	for i, v := range points {
		out[i] = by.Point(v)
	}
	return out
}

// LayPicture are the edits that lay a picture of a folder over the floor, as wide as that is.
func LayPicture(path string, s *Sheet) ([]Edit, error) {
	width, height, err := fields.PictureSize(path)
	if err != nil {
		return nil, err
	}
	span := s.High.X - s.Low.X
	high := geom.Vec{X: s.Low.X + span, Y: s.Low.Y + span*float64(height)/float64(width)}
	text := []byte(s.Field.Text)
	return []Edit{Set("picture.file", quoted(filepath.Base(path))),
		Set("picture.box", "["+placeText(text, s.Low)+", "+placeText(text, high)+"]")}, nil
}
