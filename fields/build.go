package fields

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/units"
)

// builder completes a decoded Field and notes on the way what is wrong with it.
type builder struct {
	at    *tomlfile.Positions
	field *Field

	// of each thing, the key path it comes from
	zonePaths, goalPaths, piecePaths, loadPaths, startPaths []string

	zoneCopies, goalCopies map[int]int // zone or goal to its symmetric copy
	misnamed               string      // the key path of the last name that was told to be wrong
	laid                   bool        // the layout was looked at
}

// build goes from what others refer to towards what refers to it. The layout is looked at only when all else is sound.
func (b *builder) build() {
	b.references()
	b.head()
	b.floor()
	b.sides()
	b.lines()
	b.marks()
	b.zones()
	b.starts()
	b.pieceKinds()
	b.goalKinds()
	b.goals()
	b.pieces()
	b.loads()
	b.pieceNames()
	b.phases()
	b.rules()
	if b.laid = b.at.Err() == nil; b.laid {
		b.layout()
		b.loadPlaces()
	}
}

// references finds what the file names. Goals have their names only once they are numbered: see pieces.
func (b *builder) references() {
	f := b.field
	b.at.Refer("", f, "side", namesOf(f.Sides, func(s Side) string { return s.Name }))
	b.at.Refer("", f, "piece kind", namesOf(f.PieceKinds, func(k PieceKind) string { return k.Name }))
	b.at.Refer("", f, "goal kind", namesOf(f.GoalKinds, func(k GoalKind) string { return k.Name }))
	b.at.Refer("", f, "line", namesOf(f.Lines, func(l Line) string { return l.Name }))
	b.at.Refer("", f, "phase", namesOf(f.Phases, func(p Phase) string { return p.Name }))
	b.at.Refer("", f, "rule", namesOf(f.Rules, func(r Rule) string { return r.Name }))
}

func (b *builder) head() {
	f := b.field
	b.text("title", f.Title, maxTitle)
	b.text("about", f.About, maxAbout)
	if strings.TrimSpace(f.Title) == "" {
		b.at.Errorf("title", `the title is empty: write the game's name`)
	}
	f.About = strings.TrimSpace(f.About)
}

func (b *builder) floor() {
	f := b.field
	path := "floor"
	switch {
	case f.Size != nil && f.Floor != nil:
		b.at.Errorf("size", "size and floor both say how large the floor is: leave one out")
		return
	case f.Size != nil:
		path = "size"
		f.Floor = geom.Rect(geom.Vec{}, snapped(*f.Size))
	case f.Floor != nil:
		f.Floor = b.outline(path, f.Floor)
	default:
		b.at.Errorf("", `the floor is missing: write size = ["4.2 m", "3 m"], or floor = [[x, y], ...] with its corners`)
		return
	}
	low, high := f.Floor.Bounds()
	for axis, span := range []float64{high.X - low.X, high.Y - low.Y} {
		if path == "floor" && (span < minFloor || span > maxFloor) {
			b.at.Errorf(path, "the floor spans %s in %s: write from %s to %s", length(span), "xy"[axis:axis+1],
				length(minFloor), length(maxFloor))
		}
	}
	if path == "floor" && (math.Abs(low.X) > slack || math.Abs(low.Y) > slack) {
		b.at.Errorf(path, "the floor's lower left is at x %s, y %s: subtract that from every corner, so that it is at 0, 0",
			length(low.X), length(low.Y))
	}
	b.symmetricFloor(path)
}

// symmetricFloor notes an error where the symmetry would put one side's half outside the floor.
func (b *builder) symmetricFloor(path string) {
	for _, v := range b.field.Floor {
		image := b.field.MirrorPoint(v)
		if !slices.ContainsFunc(b.field.Floor, func(w geom.Vec) bool {
			return portable.Hypot(w.X-image.X,
				w.Y-image.Y) < 1e-3
		}) {
			b.at.Errorf(path, "the floor is not symmetric by %q: its corner at %s has no counterpart at %s; add it, or write "+
				"symmetry = \"none\"",
				b.field.Symmetry, place(v), place(image))
			return
		}
	}
}

// outline reads a polygon's corners and turns them counter-clockwise.
func (b *builder) outline(path string, corners geom.Polygon) geom.Polygon {
	out := make(geom.Polygon, len(corners))
	for i, c := range corners {
		out[i] = snapped(c)
	}
	switch {
	case len(out) < 3 || len(out) > maxCorners:
		b.at.Errorf(path, "an outline of %d corners: write from 3 to %d", len(out), maxCorners)
		return geom.Rect(geom.Vec{}, geom.Vec{X: 1, Y: 1})
	case !out.Simple():
		b.at.Errorf(path, "the outline crosses or touches itself: list the corners in order, once around")
	case out.Area() < 0:
		slices.Reverse(out)
	}
	return out
}

func (b *builder) sides() {
	marks := []string{"disc", "square", "triangle", "cross"}
	sides := b.field.Sides
	if n := len(sides); n < 1 || n > maxSides {
		b.at.Errorf("sides", "there are %d sides: write from 1 to %d", n, maxSides)
		return
	}
	for i := range sides {
		s, path := &sides[i], fmt.Sprintf("sides[%d]", i)
		b.name(path+".name", s.Name)
		if strings.ContainsRune(s.Name, ' ') {
			b.at.Errorf(path+".name", "a side's name is one word: write %q", strings.ReplaceAll(s.Name, " ", "-"))
		}
		if !b.at.Has(path + ".mark") {
			s.Mark = marks[i]
		}
		b.colour(path+".colour", &s.Colour)
	}
	b.unique("side", len(sides), func(i int) (string, string) { return fmt.Sprintf("sides[%d].name", i), sides[i].Name })
	b.unique("mark", len(sides), func(i int) (string, string) { return fmt.Sprintf("sides[%d].mark", i), sides[i].Mark })
}

func (b *builder) lines() {
	lines := b.field.Lines
	b.few("lines", len(lines), maxListed)
	for i := range lines {
		l, path := &lines[i], fmt.Sprintf("lines[%d]", i)
		b.name(path+".name", l.Name)
		l.A, l.B = snapped(l.A), snapped(l.B)
		if portable.Hypot(l.B.X-l.A.X, l.B.Y-l.A.Y) < 0.01 {
			b.at.Errorf(path+".to", "the line is shorter than 10 mm: write its two ends")
		}
		b.onFloor(path+".from", l.A)
		b.onFloor(path+".to", l.B)
	}
	b.unique("line", len(lines), func(i int) (string, string) { return fmt.Sprintf("lines[%d].name", i), lines[i].Name })
}

func (b *builder) marks() {
	listed := b.field.Marks
	b.few("marks", len(listed), maxMarks)
	b.field.Marks = nil
	var paths []string
	for i, m := range listed[:min(len(listed), maxMarks)] {
		path := fmt.Sprintf("marks[%d]", i)
		b.name(path+".name", m.Name)
		m.At, m.Flat = settled(m.At), b.at.Has(path+".heading")
		b.onFloor(path+".at", m.At.At())
		b.field.Marks, paths = append(b.field.Marks, m), append(paths, path)
		if b.copies(path, m.Copy) {
			m.Name, m.At = b.copyName(m.Name), b.copyPose(m.At)
			b.field.Marks, paths = append(b.field.Marks, m), append(paths, path)
		}
	}
	marks := b.field.Marks
	b.unique("mark", len(marks), func(i int) (string, string) { return paths[i] + ".name", marks[i].Name })
}

func (b *builder) onFloor(path string, v geom.Vec) {
	near := b.field.Floor == nil || b.field.Floor.Contains(v) || b.field.Floor.Distance(v) <= slack
	if !near { // as a whole, because a place beyond all numbers is at no distance
		b.at.Errorf(path, "%s is off the floor: write a place on it", place(v))
	}
}

// snapped rounds a place to a nanometre, so that "4.2 m" and "4200 mm" are one place.
func snapped(v geom.Vec) geom.Vec {
	return geom.Vec{X: math.Round(v.X*1e9) / 1e9, Y: math.Round(v.Y*1e9) / 1e9}
}

// length prints m for people.
func length(m float64) string { return units.Text(m, "m") }

// place prints a point for people.
func place(v geom.Vec) string {
	return fmt.Sprintf("[%s, %s]", length(v.X), length(v.Y))
}

func namesOf[T any](list []T, name func(T) string) []string {
	out := make([]string, len(list))
	for i, x := range list {
		out[i] = name(x)
	}
	return out
}
