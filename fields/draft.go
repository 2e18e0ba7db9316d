package fields

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/tomlfile"

	"gonum.org/v1/gonum/spatial/r2"
)

// Draft is a field that is being built: what can be read and drawn of it, whether it is whole or not.
type Draft struct {
	Listed *Field            // as the file lists things: grids are not laid out, copies not made
	Field  *Field            // what can be drawn
	Wrong  []*tomlfile.Error // why it is refused, in the order of the file; nil: it is not
	More   int               // that are only counted
}

// ReadDraft reads a field file that may not be whole. The error is of one that is no TOML.
func ReadDraft(path string, data []byte) (*Draft, error) {
	name := filepath.ToSlash(path)
	d := &Draft{Listed: &Field{}, Field: &Field{Name: filepath.Base(name), Text: string(data)}}
	listed, err := tomlfile.DecodeLoosely(name, data, d.Listed)
	if err != nil {
		return nil, err
	}
	(&builder{at: listed, field: d.Listed}).references()
	at, err := tomlfile.DecodeLoosely(name, data, d.Field)
	if err != nil {
		return nil, err
	}
	b := builder{at: at, field: d.Field}
	b.build()
	if !b.laid && b.drawable() {
		b.layout()
		b.loadPlaces()
	}
	if p := d.Listed.Picture; p != nil && p.File != "" {
		if _, _, err := PictureSize(filepath.Join(filepath.Dir(path), filepath.FromSlash(p.File))); err != nil {
			at.Errorf("picture.file", "%v", err)
		}
	}
	d.Wrong, d.More = at.Noted()
	return d, nil
}

// drawable leaves out what cannot be drawn, and reports whether all that stands on the floor could be judged: then
// the layout has not been looked at yet, but can be.
func (b *builder) drawable() bool {
	f := b.field
	if !(f.Tile > 0) {
		f.Tile = 0.6
	}
	whole := len(f.Floor) >= 3
	if !whole {
		f.Floor = geom.Rect(geom.Vec{}, geom.Vec{X: 1, Y: 1})
	}
	unshaped := func(k GoalKind) bool { return len(k.Shape) < 3 || len(k.Shape) > maxCorners }
	noPiece := func(p Piece) bool { return p.Kind < 0 || !f.PieceKinds[p.Kind].drawable() }
	noGoal := func(g Goal) bool { return g.Kind < 0 || unshaped(f.GoalKinds[g.Kind]) }
	noLoad := func(l Loader) bool { return l.Kind < 0 || !f.PieceKinds[l.Kind].drawable() }
	noZone := func(z Zone) bool { return len(z.Shape) < 3 }
	whole = whole && !slices.ContainsFunc(f.Pieces, noPiece) && !slices.ContainsFunc(f.Goals, noGoal) &&
		!slices.ContainsFunc(f.Zones, noZone) && !slices.ContainsFunc(f.Loads, noLoad) &&
		len(f.Pieces)+len(f.Goals) <= maxBodies
	if whole {
		return true
	}
	f.Zones = slices.DeleteFunc(f.Zones, noZone)
	for i := range f.Pieces {
		if f.LoadOf(i) >= 0 { // they wait with people, who are left out
			f.Pieces[i].Kind = -1
		}
		if g := f.Pieces[i].Goal; g >= 0 && noGoal(f.Goals[g]) {
			f.Pieces[i].Kind = -1
		}
	}
	f.Pieces, f.Loads = slices.DeleteFunc(f.Pieces, noPiece), nil
	stays := map[int]int{}
	var goals []Goal
	for i, g := range f.Goals {
		if !noGoal(g) {
			stays[i], goals = len(goals), append(goals, g)
		}
	}
	for i := range f.Pieces {
		if g := f.Pieces[i].Goal; g >= 0 {
			f.Pieces[i].Goal = stays[g]
		}
	}
	f.Goals = goals
	return false
}

// drawable reports whether the kind's outline makes sense.
func (k *PieceKind) drawable() bool {
	return (k.Corners == 0 || k.Corners >= 3 && k.Corners <= maxCorners) && k.Radius > 0 && k.Radius <= maxFloor
}

// Doubts are what a field file may say, but hardly means: by the key path that each is about.
func (d *Draft) Doubts() (list []Doubt) {
	f := d.Listed
	say := func(path, format string, args ...any) {
		list = append(list, Doubt{path, fmt.Sprintf(format, args...)})
	}
	for i, s := range f.Starts {
		d.doubtStart(fmt.Sprintf("starts[%d]", i), s, say)
	}
	d.doubtGoals(say)
	return append(list, d.unused()...)
}

// doubtGoals doubts fixed goals that cannot be served, or by one side better than by the other.
func (d *Draft) doubtGoals(say func(path, format string, args ...any)) {
	const same, turned = 1e-3, 1e-3 // m, rad
	for i, k := range d.Field.GoalKinds {
		path := fmt.Sprintf("goal_kinds[%d].reach", i)
		if face := k.face(); k.Fixed && len(k.Shape) >= 3 && k.Reach <= face {
			say(path, "a reach of %s from the centre of %q ends inside its own outline, which goes to %s: write a larger one",
				length(k.Reach), k.Name, length(face))
		}
	}
	for i, g := range d.Listed.Goals {
		if g.Kind < 0 || g.Kind >= len(d.Field.GoalKinds) || g.Copy || d.Listed.Symmetry == NoSymmetry {
			continue
		}
		kind, image := &d.Field.GoalKinds[g.Kind], d.Field.Mirror(g.At)
		if !kind.Fixed || kind.Around || geom.Norm(r2.Sub(image.At(), g.At.At())) > same ||
			math.Abs(geom.WrapAngle(image.Heading-g.At.Heading)) < turned {
			continue
		}
		say(fmt.Sprintf("goals[%d].heading", i), "it faces one side of the field, so the other cannot serve it alike: write "+
			"around = true in its kind %q, or turn it so that it is its own image", kind.Name)
	}
}

// face is how far the outline reaches from the centre where it is served, m: the least that a reach must be.
func (k *GoalKind) face() float64 {
	if k.Around {
		return k.Shape.Distance(geom.Vec{})
	}
	_, high := k.Shape.Bounds()
	return high.X
}

// Doubt is something that a file hardly means.
type Doubt struct{ Path, What string }

// doubtRoom is how far a robot's middle keeps from what it must not stand in, m: half of a narrow robot. Common
// practice, no source.
const doubtRoom = 0.15

func (d *Draft) doubtStart(path string, s Start, say func(path, format string, args ...any)) {
	floor, at := d.Field.Floor, s.At.At()
	switch {
	case !floor.Contains(at): // an error already
	case floor.Distance(at) < doubtRoom:
		say(path+".at", "the middle of a robot that starts here is %s from a wall, so it stands in the wall: move it "+
			"farther in", length(floor.Distance(at)))
	default:
		for _, other := range d.Field.solids() {
			robot := solid{centre: at, radius: doubtRoom}
			if overlap(robot, other) > 0 {
				say(path+".at", "a robot that starts here stands in %q: move one of them", other.name)
				return
			}
		}
	}
}

// unused are kinds of which there is nothing, and zones that no rule knows.
func (d *Draft) unused() (list []Doubt) {
	f := d.Field
	for i, k := range f.PieceKinds {
		if !slices.ContainsFunc(f.Pieces, func(p Piece) bool { return p.Kind == i }) {
			list = append(list, Doubt{fmt.Sprintf("piece_kinds[%d]", i), fmt.Sprintf("there is no %s on the field", k.Name)})
		}
	}
	for i, k := range f.GoalKinds {
		if !slices.ContainsFunc(f.Goals, func(g Goal) bool { return g.Kind == i }) {
			list = append(list, Doubt{fmt.Sprintf("goal_kinds[%d]", i), fmt.Sprintf("there is no %s on the field", k.Name)})
		}
	}
	if len(f.Rules) == 0 {
		list = append(list, Doubt{"rules", "nothing gives points: add a rule"})
	}
	return list
}
