package build

import (
	"fmt"
	"math"
	"path/filepath"
	"reflect"
	"slices"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/sim/misfit"
	"chalkfield/sim/robot"

	"gonum.org/v1/gonum/spatial/r2"
)

// Robot is the subject of robot files. What cannot work is looked for on the field.
type Robot struct{ Field *fields.Field }

// Format is the robot file's.
func (Robot) Format() reflect.Type { return reflect.TypeFor[robot.Robot]() }

// Begin puts a field or robot file on the board, whichever it is. What of a robot cannot work is looked for on the
// field beside it, else on the other one, else on one that comes with the program.
func Begin(path string, other *fields.Field) (*Board, error) {
	data, err := tomlfile.ReadFile(path)
	if err != nil || !robot.Likely(data) {
		return Open(path, Field{})
	}
	if beside := filepath.Join(filepath.Dir(path), "field.toml"); true {
		if field, err := fields.Load(beside); err == nil {
			other = field
		}
	}
	if other == nil {
		other, _ = fields.OpenEmbedded(fields.Embedded()[0])
	}
	return Open(path, Robot{other})
}

// robotStep is what places on a robot snap onto, m.
const robotStep = 0.01

// Read reads a robot, whole or not.
func (r Robot) Read(path string, text []byte) (*Sheet, error) {
	draft, err := robot.ReadDraft(path, text)
	if err != nil {
		return nil, err
	}
	values, err := tomlfile.ValuesOf(text)
	if err != nil {
		return nil, err
	}
	s := &Sheet{Robot: draft.Robot, Groups: Groups(r.Format(), "robot", values), Tile: robotStep,
		Frame: geom.Symmetry{Kind: geom.MirrorY}}
	b := robotShapes{s, draft, values}
	b.chassis()
	for _, g := range s.Groups {
		for i, item := range g.Items {
			switch g.Path {
			case "wheels":
				b.wheel(i, item)
			case "parts", "sensors":
				b.mounted(item)
			}
		}
	}
	b.problems(r.Field)
	b.extent()
	return s, nil
}

// robotShapes makes the shapes of a robot.
type robotShapes struct {
	*Sheet
	draft  *robot.Draft
	values *tomlfile.Values
}

// problems are what the reader refuses and, of a robot that it takes, what cannot work.
func (b *robotShapes) problems(field *fields.Field) {
	for _, e := range b.draft.Wrong {
		b.Problems = append(b.Problems, Problem{Path: e.Key, What: e.What, Line: e.Line})
	}
	if len(b.draft.Wrong) > 0 || field == nil {
		return
	}
	for _, w := range misfit.Find(b.Robot, field) {
		path := w.Part
		if i := slices.IndexFunc(b.Robot.Parts, func(p robot.Part) bool { return p.Name == w.Part }); i >= 0 {
			path = fmt.Sprintf("parts[%d]", i)
		}
		b.Problems = append(b.Problems, Problem{Path: path, What: w.What + ": " + w.Instead, Doubtful: true})
	}
}

// extent is what is to be seen: all shapes, and room about them to drag them to.
func (b *robotShapes) extent() {
	const about = 0.2
	var all geom.Polygon
	for _, shape := range b.Shapes {
		for _, line := range shape.Lines {
			all = append(all, line.Points...)
		}
	}
	low, high := all.Bounds()
	b.Low, b.High = r2.Sub(low, geom.Vec{X: about, Y: about}), r2.Add(high, geom.Vec{X: about, Y: about})
}

// twinOf is the place of a list that is another's image on the other side of the robot, -1: none. A place on the middle
// line is its own.
func twinOf(places []geom.Vec, i int) int {
	return slices.IndexFunc(places, func(v geom.Vec) bool {
		return math.Abs(v.X-places[i].X) < 5*finest && math.Abs(v.Y+places[i].Y) < 5*finest
	})
}

// across is a place on the other side of the robot.
func across(v geom.Vec) geom.Vec { return geom.Vec{X: v.X, Y: -v.Y} }

// both writes a place of a list, and its twin's as its image; path gives that of one.
func both(places []geom.Vec, i int, to geom.Vec, path func(i int) string) []Edit {
	switch twin := twinOf(places, i); {
	case twin == i:
		to.Y = 0
	case twin >= 0:
		return []Edit{Place(path(i), to), Place(path(twin), across(to))}
	}
	return []Edit{Place(path(i), to)}
}

func (b *robotShapes) chassis() {
	c := b.Robot.Chassis
	outline := c.Shape()
	shape := Shape{Path: "chassis", Words: "chassis", At: outline[0], Lines: []Outline{{outline, true}},
		Edges: "chassis.outline", Corner: b.putCorner}
	if b.draft.Corners == nil {
		for i, v := range outline {
			shape.Grips = append(shape.Grips, Grip{Path: "chassis.length", Words: fmt.Sprintf("corner %d of the chassis", i+1),
				At: v, Drag: func(to geom.Vec) []Edit {
					return []Edit{Length("chassis.length", 2*math.Abs(to.X)), Length("chassis.width", 2*math.Abs(to.Y))}
				}})
		}
	}
	for i := range b.draft.Corners {
		shape.Grips = append(shape.Grips, b.corner(i))
	}
	shape.Grips = append(shape.Grips, Grip{Path: "chassis.centre", Words: "centre of mass", At: c.Centre,
		Drag: func(to geom.Vec) []Edit { return []Edit{Place("chassis.centre", to)} }})
	b.Shapes = append(b.Shapes, shape)
}

// cornerPath is that of a corner of the outline.
func cornerPath(i int) string { return fmt.Sprintf("chassis.outline[%d]", i) }

// corner is one that is dragged with its twin on the other side.
func (b *robotShapes) corner(i int) Grip {
	corners := b.draft.Corners
	g := Grip{Path: cornerPath(i), Words: fmt.Sprintf("corner %d of the chassis", i+1), At: corners[i],
		Drag: func(to geom.Vec) []Edit { return both(corners, i, to, cornerPath) }}
	if twin := twinOf(corners, i); twin >= 0 && twin != i && len(corners) > 4 {
		g.Take = []Edit{Take(cornerPath(max(i, twin))), Take(cornerPath(min(i, twin)))}
	} else if len(corners) > 3 {
		g.Take = []Edit{Take(cornerPath(i))}
	}
	return g
}

// putCorner puts a corner into the outline where a place is nearest to it, and its image where the outline is its own.
// A rectangle of length and width becomes a list of corners.
func (b *robotShapes) putCorner(at geom.Vec) []Edit {
	corners := slices.Clone(b.draft.Corners)
	if corners == nil {
		corners = slices.Clone(b.Robot.Chassis.Shape())
	}
	symmetric := true
	for i := range corners {
		symmetric = symmetric && twinOf(corners, i) >= 0
	}
	corners = withCorner(corners, at)
	if image := across(at); symmetric && math.Abs(at.Y) > robotStep/2 {
		corners = withCorner(corners, image)
	}
	write := func(text []byte) ([]byte, error) {
		parts := make([]string, len(corners))
		for i, v := range corners {
			parts[i] = placeText(text, v)
		}
		return tomlfile.Put(text, "chassis.outline", "["+strings.Join(parts, ", ")+"]")
	}
	edits := []Edit{write}
	for _, key := range []string{"chassis.length", "chassis.width"} {
		if b.values.Given(key) {
			edits = append(edits, Take(key))
		}
	}
	return edits
}

// withCorner puts a corner into the edge that is nearest to it.
func withCorner(corners geom.Polygon, at geom.Vec) geom.Polygon {
	return slices.Insert(slices.Clone(corners), edgeAt(corners, at), at)
}

// edgeAt is where in the list a corner comes that is put in at a place.
func edgeAt(corners geom.Polygon, at geom.Vec) int {
	best, least := 0, math.Inf(1)
	for i, v := range corners {
		if far := geom.DistanceToSegment(at, v, corners[(i+1)%len(corners)]); far < least {
			best, least = i+1, far
		}
	}
	return best
}

// wheelDepth is how wide wheels are shown, m: robot files do not say it.
const wheelDepth = 0.024

// wheel is moved with its twin on the other side; its radius with that of all wheels like it.
func (b *robotShapes) wheel(i int, item Item) {
	wheels := b.Robot.Wheels
	if i >= len(wheels) {
		return
	}
	places := make([]geom.Vec, len(wheels))
	for k, w := range wheels {
		places[k] = w.At
	}
	path := func(i int) string { return fmt.Sprintf("wheels[%d].at", i) }
	w := wheels[i]
	half := geom.Vec{X: max(w.Radius, 0.01), Y: wheelDepth / 2}
	at := geom.Pose{X: w.At.X, Y: w.At.Y}
	b.Shapes = append(b.Shapes, Shape{Path: item.Path, Words: item.Words, At: w.At,
		Lines: []Outline{{geom.Rect(geom.Scale(-1, half), half).Placed(at), true}},
		Move:  func(by geom.Vec) []Edit { return both(places, i, r2.Add(w.At, by), path) },
		Grips: []Grip{{Path: item.Path + ".radius", Words: "radius of the wheels",
			At:   geom.Vec{X: w.At.X + half.X, Y: w.At.Y},
			Drag: func(to geom.Vec) []Edit { return radii(wheels, w.Radius, math.Abs(to.X-w.At.X)) }}},
		Mirror: func() []Edit {
			return []Edit{Place(item.Path+".at", across(w.At)), Set(item.Path+".train", quoted(otherTrain(w.Train)))}
		}})
}

func otherTrain(t robot.Train) string {
	return map[robot.Train]string{robot.Left: "right", robot.Right: "left", robot.Free: "free"}[t]
}

// radii makes all wheels of a radius those of another.
func radii(wheels []robot.Wheel, old, radius float64) (edits []Edit) {
	for i, w := range wheels {
		if w.Radius == old {
			edits = append(edits, Length(fmt.Sprintf("wheels[%d].radius", i), radius))
		}
	}
	return edits
}

// mounted is the shape of a part or sensor: of all places in the table of its kind.
func (b *robotShapes) mounted(item Item) {
	for _, key := range tomlfile.KeysOf(Robot{}.Format(), item.Path) {
		table := item.Path + "." + key.Name
		if key.Takes != tomlfile.Tables || !b.values.Given(table) {
			continue
		}
		v := memberAt(reflect.ValueOf(b.Robot).Elem(), table)
		if !v.IsValid() || v.Kind() == reflect.Pointer && v.IsNil() {
			continue
		}
		m := mount{path: table, robot: b, shape: Shape{Path: item.Path, Words: item.Words}}
		m.all(reflect.Indirect(v))
		if len(m.shape.Lines) > 0 {
			b.Shapes = append(b.Shapes, m.shape)
		}
	}
}

// memberAt is the value that a path of the file is decoded into.
func memberAt(v reflect.Value, path string) reflect.Value {
	for _, part := range strings.Split(path, ".") {
		name, index, element := strings.Cut(strings.TrimSuffix(part, "]"), "[")
		if v = memberNamed(reflect.Indirect(v), name); !v.IsValid() || !element {
			continue
		}
		var i int
		if _, err := fmt.Sscan(index, &i); err != nil || i >= v.Len() {
			return reflect.Value{}
		}
		v = v.Index(i)
	}
	return v
}

// mount gathers the places of a part or sensor into a shape.
type mount struct {
	path  string // of the table of its kind
	robot *robotShapes
	shape Shape
	moves []func(by geom.Vec) Edit
}

// How a place without a size is shown and taken, m.
const (
	mountReach = 0.014
	turnReach  = 0.07 // from a place to the grip of its direction
)

// all looks at every key of the table that says a place: what comes into the format has a shape by itself.
func (m *mount) all(v reflect.Value) {
	var way []geom.Vec
	for _, f := range reflect.VisibleFields(v.Type()) {
		key, turn, _ := strings.Cut(f.Tag.Get("toml"), ",")
		if key == "" || !m.robot.values.Given(m.path+"."+key) {
			continue
		}
		switch at := v.FieldByIndex(f.Index).Interface().(type) {
		case geom.Vec:
			way = append(way, at)
			m.place(key, at)
		case geom.Pose:
			way = append(way, at.At())
			m.place(key, at.At())
			m.turned(turn, at)
		case geom.Polygon:
			m.corners(key, at)
		}
	}
	if along := memberNamed(v, "along"); along.IsValid() && along.Kind() == reflect.Float64 {
		m.along(memberNamed(v, "on"), along.Float())
	}
	if facing := memberNamed(v, "direction"); facing.IsValid() && facing.Kind() == reflect.Float64 {
		m.turned("direction", geom.Pose{X: m.shape.At.X, Y: m.shape.At.Y, Heading: facing.Float()})
	}
	if len(way) > 1 {
		m.shape.Lines = append(m.shape.Lines, Outline{Points: way})
	}
	if m.moves != nil {
		m.shape.Move = m.move
		m.shape.Mirror = func() []Edit { return m.move(geom.Vec{Y: -2 * m.shape.At.Y}) }
	}
}

// move writes all places that far off.
func (m *mount) move(by geom.Vec) (edits []Edit) {
	for _, move := range m.moves {
		edits = append(edits, move(by))
	}
	return edits
}

// words are what a key of it is called.
func (m *mount) words(key string) string {
	return strings.ReplaceAll(key, "_", " ") + " of " + m.shape.Words
}

// place is a small disc that is dragged.
func (m *mount) place(key string, at geom.Vec) {
	path := m.path + "." + key
	if len(m.shape.Lines) == 0 {
		m.shape.At = at
	}
	m.shape.Lines = append(m.shape.Lines, Outline{round(mountReach).Placed(geom.Pose{X: at.X, Y: at.Y}), true})
	m.shape.Grips = append(m.shape.Grips, Grip{Path: path, Words: m.words(key), At: at,
		Drag: func(to geom.Vec) []Edit { return []Edit{Place(path, to)} }})
	m.moves = append(m.moves, func(by geom.Vec) Edit { return Place(path, r2.Add(at, by)) })
}

// turned is the grip of a direction.
func (m *mount) turned(key string, at geom.Pose) {
	about := at.At()
	m.shape.Grips = append(m.shape.Grips, Grip{Path: m.path + "." + key, Words: m.words(key), About: &about,
		At: at.ToWorld(geom.Vec{X: turnReach}), Drag: func(to geom.Vec) []Edit {
			return []Edit{Angle(m.path+"."+key, math.Atan2(to.Y-about.Y, to.X-about.X))}
		}})
}

// corners are those of a mouth: each is dragged, with its twin on the other side.
func (m *mount) corners(key string, p geom.Polygon) {
	if len(p) < 3 {
		return
	}
	path := func(i int) string { return fmt.Sprintf("%s.%s[%d]", m.path, key, i) }
	m.shape.At, m.shape.Edges = p.Centroid(), m.path+"."+key
	m.shape.Lines = append(m.shape.Lines, Outline{p, true})
	for i, v := range p {
		g := Grip{Path: path(i), Words: fmt.Sprintf("corner %d of %s", i+1, m.shape.Words), At: v,
			Drag: func(to geom.Vec) []Edit { return both(p, i, to, path) }}
		if len(p) > 3 {
			g.Take = []Edit{Take(path(i))}
		}
		m.shape.Grips = append(m.shape.Grips, g)
		m.moves = append(m.moves, func(by geom.Vec) Edit { return Place(path(i), r2.Add(v, by)) })
	}
}

// along is a place on a conveyor, which is dragged along it.
func (m *mount) along(on reflect.Value, along float64) {
	parts := m.robot.Robot.Parts
	if !on.IsValid() || on.Kind() != reflect.Int || on.Int() < 0 || int(on.Int()) >= len(parts) {
		return
	}
	belt := parts[on.Int()].Conveyor
	if belt == nil || !(belt.Length > 0) {
		return
	}
	at := belt.Place(along)
	if len(m.shape.Lines) == 0 {
		m.shape.At = at
	}
	m.shape.Lines = append(m.shape.Lines, Outline{round(mountReach).Placed(geom.Pose{X: at.X, Y: at.Y}), true})
	m.shape.Grips = append(m.shape.Grips, Grip{Path: m.path + ".along", Words: m.words("along"), At: at,
		Drag: func(to geom.Vec) []Edit {
			way := r2.Sub(belt.Out.At(), belt.Exit)
			share := geom.Clamp(geom.Dot(r2.Sub(to, belt.Exit), way)/math.Max(geom.Norm2(way), 1e-9), 0, 1)
			return []Edit{Length(m.path+".along", math.Round(share*belt.Length/0.005)*0.005)}
		}})
}
