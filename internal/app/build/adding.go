package build

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/tomlfile"

	"gonum.org/v1/gonum/spatial/r2"
)

// Adding is something that can be added.
type Adding struct {
	Name    string // "zone", "piece: core"
	List    string // of the file, that it becomes an element of; a table that there is one of
	Gesture Gesture
	Make    func(points []geom.Vec) []tomlfile.Change // its keys, from the places of the gesture
	More    func(points []geom.Vec) []Edit            // what else is written with it; nil: nothing
}

// Gesture says how its place is shown.
type Gesture int

const (
	NoPlace   Gesture = iota // it has none
	OnePlace                 // a click
	TwoPlaces                // a drag from one to the other: two corners, two ends
)

// Insert adds a thing behind the others of its list, chooses it, and gives its path.
func (b *Board) Insert(a Adding, points ...geom.Vec) (path string, err error) {
	var more []Edit
	if a.More != nil {
		more = a.More(points)
	}
	return b.insert("added a "+a.Name, a.List, a.Make(points), more...)
}

func (b *Board) insert(words, list string, keys []tomlfile.Change, more ...Edit) (string, error) {
	for _, g := range b.sheet.Groups {
		if g.Path != list {
			continue
		}
		path, edits := list, []Edit{Add(list, len(g.Items), keys...)}
		if g.List {
			path = fmt.Sprintf("%s[%d]", list, len(g.Items))
		} else if edits = nil; true {
			for _, k := range keys {
				edits = append(edits, Set(list+"."+k.Path, k.Value))
			}
		}
		if err := b.Do(words, append(edits, more...)...); err != nil {
			return "", err
		}
		b.Choose(path)
		return path, nil
	}
	return "", fmt.Errorf("this file has no %s", list)
}

// Delete takes the table chosen away.
func (b *Board) Delete() error {
	if b.chosen == "" {
		return fmt.Errorf("nothing is chosen that can be taken away")
	}
	return b.Do("took "+b.words()+" away", Take(b.chosen))
}

// Twin adds another like the table chosen beside it, with a name of its own.
func (b *Board) Twin() error {
	list, _, element := strings.Cut(b.chosen, "[")
	values, err := tomlfile.ValuesOf(b.text)
	if err != nil || !element {
		return fmt.Errorf("choose a thing first: another like it is put beside it")
	}
	var keys []tomlfile.Change
	for _, key := range values.Keys(b.chosen) {
		raw, ok := values.Raw(under(b.chosen, key))
		if !ok {
			continue
		}
		if name, named := values.Text(under(b.chosen, key)); key == "name" && named {
			raw = quoted(b.free(list, name))
		}
		keys = append(keys, tomlfile.Change{Path: key, Value: raw})
	}
	aside := cmp.Or(b.sheet.Tile/4, 0.1)
	beside := func(text []byte) ([]byte, error) { // where it is now is the last of its list
		sheet, err := b.subject.Read(b.path, text)
		if err != nil {
			return nil, err
		}
		for _, g := range sheet.Groups {
			if g.Path != list || len(g.Items) == 0 {
				continue
			}
			shape := sheet.Shape(g.Items[len(g.Items)-1].Path)
			if shape == nil || shape.Move == nil {
				continue
			}
			edits := shape.Move(geom.Vec{X: aside, Y: aside})
			if shape.Mirror != nil && math.Abs(shape.At.Y) > aside {
				edits = shape.Mirror()
			}
			for _, edit := range edits {
				if text, err = edit(text); err != nil {
					return nil, err
				}
			}
		}
		return text, nil
	}
	_, err = b.insert("another like "+b.words(), list, keys, beside)
	return err
}

// free is a name that no other of a list has: a number is counted up, or put behind.
func (b *Board) free(list, name string) string {
	stem := strings.TrimRight(strings.TrimRight(name, "0123456789"), " _")
	if b.sheet.Robot != nil {
		return b.sheet.freeWord(list, stem)
	}
	for n := 2; ; n++ {
		if next := fmt.Sprintf("%s %d", stem, n); !b.sheet.named(list, next) {
			return next
		}
	}
}

// Corner puts another corner into the outline of a shape, where a place is nearest to it. A box becomes a list of
// corners, a floor's size too.
func (b *Board) Corner(shape *Shape, at geom.Vec) error {
	if shape == nil || shape.Edges == "" || len(shape.Lines) == 0 {
		return fmt.Errorf("choose a thing that has corners first: one is put where the pointer is")
	}
	if shape.Corner != nil {
		return b.Do("put a corner into "+shape.Words, shape.Corner(at)...)
	}
	places := []geom.Vec{at}
	if image := b.sheet.Frame.Point(at); shape.Path == "" && b.sheet.Frame.Kind != geom.NoSymmetry &&
		geom.Norm(r2.Sub(image, at)) > 5*finest { // the floor stays symmetric
		places = append(places, image)
	}
	list := strings.TrimSuffix(shape.Edges, ".box")
	switch {
	case shape.Edges == "size":
		list = "floor"
	case list != shape.Edges:
		list += ".shape"
	default:
		list = ""
	}
	if list == "" {
		corners, edits := geom.Polygon(shape.Lines[0].Points), []Edit(nil)
		for _, v := range places {
			behind := edgeAt(corners, v)
			edits = append(edits, func(text []byte) ([]byte, error) {
				return tomlfile.Insert(text, shape.Edges, behind, []tomlfile.Change{{Value: placeText(text, v)}})
			})
			corners = withCorner(corners, v)
		}
		return b.Do("put a corner into "+shape.Words, edits...)
	}
	return b.Do("put a corner into "+shape.Words, Take(shape.Edges), func(text []byte) ([]byte, error) {
		corners, parts := geom.Polygon(shape.Lines[0].Points), []string(nil)
		for _, v := range places {
			corners = withCorner(corners, v)
		}
		for _, v := range corners {
			parts = append(parts, placeText(text, v))
		}
		return tomlfile.Put(text, list, "["+strings.Join(parts, ", ")+"]")
	})
}

// Addings of a field are all that its lists may hold: of pieces and goals one for each kind.
func (f Field) Addings(s *Sheet) (list []Adding) {
	for _, g := range s.Groups {
		if g.Path == "" {
			continue
		}
		keys := tomlfile.KeysOf(f.Format(), g.Path)
		switch {
		case g.Path == "pieces":
			for _, kind := range s.Field.PieceKinds {
				list = append(list, f.piece(s, kind), f.grid(s, kind))
			}
		case g.Path == "goals":
			for _, kind := range s.Field.GoalKinds {
				list = append(list, f.adding(s, g, "goal: "+kind.Name, keys, kind.Name))
			}
		case g.List || len(g.Items) == 1 && !given(s, g.Path):
			list = append(list, f.adding(s, g, singular(g.Path), keys, ""))
		}
	}
	return list
}

// given reports whether the field has one of the tables that there is one of.
func given(s *Sheet, path string) bool { return path != "picture" || s.Picture != nil }

// adding is one thing with what must be given, from the format's own examples.
func (f Field) adding(s *Sheet, g Group, name string, keys []tomlfile.Key, kind string) Adding {
	a := Adding{Name: name, List: g.Path, Gesture: gestureOf(g.Path, keys)}
	a.Make = func(points []geom.Vec) []tomlfile.Change {
		side, copied := s.sideAt(points)
		if !hasKey(keys, "copy") {
			copied = false
		}
		var made []tomlfile.Change
		put := func(key, value string) { made = append(made, tomlfile.Change{Path: key, Value: value}) }
		for _, k := range keys {
			switch {
			case k.Name == "kind" && kind != "":
				put("kind", quoted(kind))
			case k.Name == "name" && k.Need != "":
				stem := g.singular()
				if hasKey(keys, "side") && side != "" {
					stem = side + " " + stem
				}
				put("name", quoted(s.freeName(g, stem)))
			case k.Name == "side" && side != "" && (g.Path == "zones" || g.Path == "starts" || g.Path == "loads"):
				put("side", quoted(side))
			case placeKey(k) >= 0 && len(points) > placeKey(k):
				put(k.Name, placeOf(s, points[placeKey(k)]))
			case k.Name == "box" && len(points) > 1:
				put("box", "["+placeOf(s, points[0])+", "+placeOf(s, points[1])+"]")
			case k.Refer != "" && k.Need != "":
				put(k.Name, f.firstName(s, k))
			case k.Need != "":
				put(k.Name, k.Need)
			}
		}
		if copied {
			put("copy", "true")
		}
		return append(made, extras(g.Path)...)
	}
	return a
}

// extras are keys of which one of several must be given.
func extras(list string) []tomlfile.Change {
	switch list {
	case "goal_kinds":
		return []tomlfile.Change{{Path: "size", Value: `["300 mm", "300 mm"]`}, {Path: "mass", Value: `"1.5 kg"`}}
	case "rules":
		return []tomlfile.Change{{Path: "points", Value: "1"}}
	}
	return nil
}

func hasKey(keys []tomlfile.Key, name string) bool {
	return slices.ContainsFunc(keys, func(k tomlfile.Key) bool { return k.Name == name })
}

// placeKey is which place of the gesture a key takes, -1: none.
func placeKey(k tomlfile.Key) int {
	return map[string]int{"at": 1, "from": 1, "to": 2}[k.Name] - 1
}

// gestureOf is how the place of a thing with these keys is shown.
func gestureOf(list string, keys []tomlfile.Key) Gesture {
	switch {
	case hasKey(keys, "box"), hasKey(keys, "from") && hasKey(keys, "to"):
		return TwoPlaces
	case hasKey(keys, "at"):
		return OnePlace
	}
	return NoPlace
}

// singular is what one of a group is called.
func (g Group) singular() string { return singular(g.Path) }

// freeName is the first name with a number that no other of a group has.
func (s *Sheet) freeName(g Group, stem string) string {
	for n := 1; ; n++ {
		name := fmt.Sprintf("%s %d", stem, n)
		if strings.HasPrefix(g.Path, "side") {
			name = fmt.Sprintf("side%d", n)
		}
		if !slices.ContainsFunc(g.Items, func(i Item) bool { return i.Words == name }) {
			return name
		}
	}
}

// sideAt is the side on whose half places lie, and whether what stands there has a copy on the other: not in the
// middle.
func (s *Sheet) sideAt(points []geom.Vec) (side string, copied bool) {
	if len(points) == 0 || s.Frame.Kind == geom.NoSymmetry || len(s.Field.Sides) != 2 {
		return "", false
	}
	var at geom.Vec
	for _, v := range points {
		at = r2.Add(at, r2.Scale(1/float64(len(points)), v))
	}
	off := r2.Sub(at, s.Frame.Centre)
	if s.Frame.Kind == geom.MirrorY || s.Frame.Kind == geom.HalfTurn && math.Abs(off.X) < 0.02 {
		off.X = off.Y
	}
	if geom.Norm(r2.Sub(at, s.Frame.Point(at))) < 0.02 {
		return "", false
	}
	if off.X <= 0 {
		return s.Field.Sides[0].Name, true
	}
	return s.Field.Sides[1].Name, true
}

// placeOf is a place as TOML, written as the field's tile is.
func placeOf(s *Sheet, v geom.Vec) string { return placeText([]byte(s.Field.Text), v) }

// firstName is a name for a key that must name something: the first there is, in the form that the key takes.
func (f Field) firstName(s *Sheet, k tomlfile.Key) string {
	names := f.Names(s, k)
	if len(names) == 0 {
		return k.Need
	}
	if k.Takes == tomlfile.Names {
		return "[" + quoted(names[0]) + "]"
	}
	return quoted(names[0])
}

// piece and grid add pieces of a kind.
func (f Field) piece(s *Sheet, kind fields.PieceKind) Adding {
	return Adding{Name: "piece: " + kind.Name, List: "pieces", Gesture: OnePlace,
		Make: func(points []geom.Vec) []tomlfile.Change {
			made := []tomlfile.Change{{Path: "kind", Value: quoted(kind.Name)}, {Path: "at", Value: placeOf(s, points[0])}}
			if _, copied := s.sideAt(points[:1]); copied {
				made = append(made, tomlfile.Change{Path: "copy", Value: "true"})
			}
			return made
		}}
}

// grid lays as many pieces from one place to another as there is room for, the first and the last where these are.
func (f Field) grid(s *Sheet, kind fields.PieceKind) Adding {
	return Adding{Name: "grid: " + kind.Name, List: "pieces", Gesture: TwoPlaces,
		Make: func(points []geom.Vec) []tomlfile.Change {
			low, high := geom.Polygon(points[:2]).Bounds()
			pitch := math.Max(math.Ceil(2*kind.Radius*1.05/0.01)*0.01, 0.02)
			count := func(span float64) int { return min(int(span/pitch+1e-6)+1, 30) }
			columns, rows := count(high.X-low.X), count(high.Y-low.Y)
			step := func(span float64, n int) float64 {
				if n < 2 {
					return pitch
				}
				return span / float64(n-1)
			}
			made := []tomlfile.Change{{Path: "kind", Value: quoted(kind.Name)}, {Path: "at", Value: placeOf(s, low)},
				{Path: "grid", Value: fmt.Sprintf("[%d, %d]", columns, rows)},
				{Path: "step", Value: placeOf(s, geom.Vec{X: step(high.X-low.X, columns), Y: step(high.Y-low.Y, rows)})}}
			if _, copied := s.sideAt(points[:2]); copied {
				made = append(made, tomlfile.Change{Path: "copy", Value: "true"})
			}
			return made
		}}
}

// Names are what a key of a field may name.
func (Field) Names(s *Sheet, k tomlfile.Key) []string {
	var list []string
	switch {
	case k.Name == "zone" && k.Takes == tomlfile.Texts:
		return s.Field.ZoneKinds()
	case k.Refer == "goal":
		for _, g := range s.Field.Goals {
			list = append(list, g.Name)
		}
		return list
	case k.Refer == "" && k.Name == "kind" && k.Need == `"piece in goal"`:
		for _, kind := range fields.RuleKinds() {
			list = append(list, string(kind))
		}
		return list
	case k.Refer == "":
		return nil
	}
	for _, g := range s.Groups {
		if g.List && g.singular() == k.Refer {
			for _, item := range g.Items {
				list = append(list, item.Words)
			}
		}
	}
	return list
}
