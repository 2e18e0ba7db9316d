package fields

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/geom"
	"chalkfield/internal/portable"
	"chalkfield/internal/tomlfile"
	"chalkfield/internal/units"
)

// builder turns a decoded file into a Field and notes on the way what is wrong with it.
type builder struct {
	at    *tomlfile.Positions
	file  *fieldFile
	field *Field

	zonePaths, goalPaths, piecePaths []string    // of each thing, the key path it comes from
	goalCopies                       map[int]int // goal to its symmetric copy
	misnamed                         string      // the key path of the last name that was told to be wrong
}

// build goes from what others refer to towards what refers to it. The layout is looked at only when all else is sound.
func (b *builder) build() {
	b.head()
	b.floor()
	b.sides()
	b.lines()
	b.zones()
	b.pieceKinds()
	b.goalKinds()
	b.goals()
	b.pieces()
	b.phases()
	b.rules()
	b.tieBreak()
	b.spread()
	if b.at.Err() == nil {
		b.layout()
	}
}

func (b *builder) head() {
	f := b.file
	b.text("title", f.Title, maxTitle)
	b.text("about", f.About, maxAbout)
	if strings.TrimSpace(f.Title) == "" {
		b.at.Errorf("title", `the title is empty: write the game's name`)
	}
	b.field.Title, b.field.About, b.field.Tile = f.Title, strings.TrimSpace(f.About), float64(f.Tile)
	b.field.Surface = Surface(f.Surface)
	b.field.Symmetry = choose(b, "symmetry", f.Symmetry, NoSymmetry, HalfTurn, MirrorX, MirrorY)
}

// choose finds a word among the known ones; it notes an error and gives the first for another.
func choose[S ~string](b *builder, path, word string, known ...S) S {
	names := make([]string, len(known))
	for i, k := range known {
		names[i] = string(k)
	}
	key := path[strings.LastIndexByte(path, '.')+1:]
	return known[max(0, b.at.Index(path, key, word, names))]
}

func (b *builder) floor() {
	f := b.file
	path := "floor"
	switch {
	case f.Size != nil && f.Floor != nil:
		b.at.Errorf("size", "size and floor both say how large the floor is: leave one out")
		return
	case f.Size != nil:
		path = "size"
		b.field.Floor = geom.Rect(geom.Vec{}, point(*f.Size))
	case f.Floor != nil:
		b.field.Floor = b.outline(path, f.Floor)
	default:
		b.at.Errorf("", `the floor is missing: write size = ["4.2 m", "3 m"], or floor = [[x, y], ...] with its corners`)
		return
	}
	low, high := b.field.Floor.Bounds()
	for axis, span := range []float64{high.X - low.X, high.Y - low.Y} {
		if path == "floor" && (span < float64(minFloor) || span > float64(maxFloor)) {
			b.at.Errorf(path, "the floor spans %v in %s: write from %v to %v", units.Length(span), "xy"[axis:axis+1], minFloor, maxFloor)
		}
	}
	if path == "floor" && (math.Abs(low.X) > slack || math.Abs(low.Y) > slack) {
		b.at.Errorf(path, "the floor's lower left is at x %v, y %v: subtract that from every corner, so that it is at 0, 0", units.Length(low.X), units.Length(low.Y))
	}
	b.symmetricFloor(path)
}

// symmetricFloor notes an error where the symmetry would put one side's half outside the floor.
func (b *builder) symmetricFloor(path string) {
	for _, v := range b.field.Floor {
		image := b.field.MirrorPoint(v)
		if !slices.ContainsFunc(b.field.Floor, func(w geom.Vec) bool { return portable.Hypot(w.X-image.X, w.Y-image.Y) < 1e-3 }) {
			b.at.Errorf(path, "the floor is not symmetric by %q: its corner at %s has no counterpart at %s; add it, or write symmetry = \"none\"",
				b.field.Symmetry, place(v), place(image))
			return
		}
	}
}

// outline reads a polygon's corners and turns them counter-clockwise.
func (b *builder) outline(path string, corners [][2]units.Length) geom.Polygon {
	out := make(geom.Polygon, len(corners))
	for i, c := range corners {
		out[i] = point(c)
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
	if n := len(b.file.Sides); n < 1 || n > maxSides {
		b.at.Errorf("sides", "there are %d sides: write from 1 to %d", n, maxSides)
		return
	}
	for i, s := range b.file.Sides {
		path := fmt.Sprintf("sides[%d]", i)
		b.name(path+".name", s.Name)
		if strings.ContainsRune(s.Name, ' ') {
			b.at.Errorf(path+".name", "a side's name is one word: write %q", strings.ReplaceAll(s.Name, " ", "-"))
		}
		if s.Mark == "" {
			s.Mark = marks[i]
		}
		b.at.Index(path+".mark", "mark", s.Mark, marks)
		b.field.Sides = append(b.field.Sides, Side{s.Name, b.colour(path+".colour", s.Colour), s.Mark})
	}
	sides := b.field.Sides
	b.unique("side", len(sides), func(i int) (string, string) { return fmt.Sprintf("sides[%d].name", i), sides[i].Name })
	b.unique("mark", len(sides), func(i int) (string, string) { return fmt.Sprintf("sides[%d].mark", i), sides[i].Mark })
}

// side finds the side that a thing belongs to; no name is nobody's.
func (b *builder) side(path, name string) int {
	if name == "" && !b.at.Has(path) {
		return -1
	}
	return b.at.Index(path, "side", name, namesOf(b.field.Sides, func(s Side) string { return s.Name }))
}

func (b *builder) lines() {
	b.few("lines", len(b.file.Lines), maxListed)
	for i, l := range b.file.Lines {
		path := fmt.Sprintf("lines[%d]", i)
		b.name(path+".name", l.Name)
		from, to := point(l.From), point(l.To)
		if portable.Hypot(to.X-from.X, to.Y-from.Y) < 0.01 {
			b.at.Errorf(path+".to", "the line is shorter than 10 mm: write its two ends")
		}
		b.onFloor(path+".from", from)
		b.onFloor(path+".to", to)
		b.field.Lines = append(b.field.Lines, Line{l.Name, from, to})
	}
	lines := b.field.Lines
	b.unique("line", len(lines), func(i int) (string, string) { return fmt.Sprintf("lines[%d].name", i), lines[i].Name })
}

func (b *builder) onFloor(path string, v geom.Vec) {
	near := b.field.Floor == nil || b.field.Floor.Contains(v) || b.field.Floor.Distance(v) <= slack
	if !near { // as a whole, because a place beyond all numbers is at no distance
		b.at.Errorf(path, "%s is off the floor: write a place on it", place(v))
	}
}

func (b *builder) spread() {
	b.field.Spread = Spread(b.file.Spread)
}

// point reads a place. It is rounded to a nanometre, so that "4.2 m" and "4200 mm" are one place.
func point(at [2]units.Length) geom.Vec {
	return snapped(geom.Vec{X: float64(at[0]), Y: float64(at[1])})
}

func snapped(v geom.Vec) geom.Vec {
	return geom.Vec{X: math.Round(v.X*1e9) / 1e9, Y: math.Round(v.Y*1e9) / 1e9}
}

// place prints a point for people.
func place(v geom.Vec) string {
	return fmt.Sprintf("[%v, %v]", units.Length(v.X), units.Length(v.Y))
}

func namesOf[T any](list []T, name func(T) string) []string {
	out := make([]string, len(list))
	for i, x := range list {
		out[i] = name(x)
	}
	return out
}
