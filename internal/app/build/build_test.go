package build

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/units"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// onBoard puts an embedded field on a board, as a file of a folder of its own.
func onBoard(t testing.TB, name string) *Board {
	t.Helper()
	text, err := fields.EmbeddedSource(name)
	if err != nil {
		t.Fatal(err)
	}
	return boardOf(t, name, text, Field{})
}

func boardOf(t testing.TB, name string, text []byte, subject Subject) *Board {
	t.Helper()
	path := filepath.Join(t.TempDir(), name+".toml")
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	b, err := Open(path, subject)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func onDisk(t testing.TB, b *Board) string {
	t.Helper()
	data, err := os.ReadFile(b.Path())
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// What is dragged goes where it is dragged to, and nothing else goes; the lines of the file that do not hold its places
// are as they were; undone, every byte is.
func TestWhatIsDraggedAloneMoves(t *testing.T) {
	by, done := geom.Vec{X: 0.013, Y: -0.021}, 0
	for _, name := range fields.Embedded() {
		b := onBoard(t, name)
		before := b.Text()
		for i, shape := range b.Sheet().Shapes {
			drags := map[string][]Edit{}
			if shape.Move != nil {
				drags["whole"] = shape.Move(by)
			}
			for k, g := range shape.Grips {
				drags[fmt.Sprintf("grip %d", k)] = g.Drag(r2.Add(g.At, by))
			}
			for what, edits := range drags {
				was := b.Sheet()
				done++
				written := done%property.Cases(23, 1) == 0 // a write waits for the disk
				if err := b.Try(edits...); err != nil {
					t.Fatalf("%s: %s of %s: %v", name, what, shape.Words, err)
				}
				if written {
					if err := b.Keep(what); err != nil || onDisk(t, b) != b.Text() {
						t.Fatalf("%s: %s of %s: %v", name, what, shape.Words, err)
					}
				}
				now := b.Sheet()
				if what == "whole" && geom.Norm(r2.Sub(r2.Sub(now.Shapes[i].At, shape.At), by)) > 1e-6 {
					t.Errorf("%s: %s is at %v, dragged by %v from %v", name, shape.Words, now.Shapes[i].At, by, shape.At)
				}
				for k := range now.Shapes {
					if k != i && k > 0 && !reflect.DeepEqual(now.Shapes[k].Lines, was.Shapes[k].Lines) {
						t.Errorf("%s: %s of %s moves %s", name, what, shape.Words, now.Shapes[k].Words)
					}
				}
				lines, old := strings.Split(b.Text(), "\n"), strings.Split(before, "\n")
				changed := 0
				for k := range min(len(lines), len(old)) {
					if lines[k] != old[k] {
						changed++
					}
				}
				added := len(lines) - len(old) // a heading that was not given
				if added == 0 && (changed < 1 || changed > 2) || added > 1 {
					t.Errorf("%s: %s of %s changed %d lines and added %d", name, what, shape.Words, changed, added)
				}
				b.Drop()
				if written {
					_, _ = b.Undo()
				}
				if b.Text() != before || onDisk(t, b) != before {
					t.Fatalf("%s: %s of %s is not undone", name, what, shape.Words)
				}
			}
		}
	}
}

// Whatever is done on the board, the file on disk is what the board shows, read again it is the same field, each
// comment stays but those of what was taken away, and all can be undone to the last byte.
func TestTheFileIsWhatTheBoardShows(t *testing.T) {
	folder := t.TempDir()
	var plan bytes.Buffer
	if err := png.Encode(&plan, image.NewGray(image.Rect(0, 0, 4, 4))); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "plan.png"), plan.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	property.Check(t, func(r *rapid.T) {
		name := rapid.SampledFrom(fields.Embedded()).Draw(r, "field")
		text, err := fields.EmbeddedSource(name)
		if err != nil {
			r.Fatal(err)
		}
		path := filepath.Join(folder, "x.toml")
		if err := os.WriteFile(path, text, 0o600); err != nil {
			r.Fatal(err)
		}
		b, err := Open(path, Field{})
		if err != nil {
			r.Fatal(err)
		}
		taken := false
		for range rapid.IntRange(1, property.Cases(2, 12)).Draw(r, "steps") {
			taken = randomStep(r, b) || taken
			agreesWithDisk(r, b, taken, text)
		}
		for b.Steps() > 0 {
			if _, err := b.Undo(); err != nil {
				r.Fatal(err)
			}
		}
		if data, err := os.ReadFile(path); err != nil || !bytes.Equal(data, text) {
			r.Fatalf("%v: undone it is\n%s", err, data)
		}
	})
}

func agreesWithDisk(r *rapid.T, b *Board, taken bool, text []byte) {
	data, err := os.ReadFile(b.Path())
	if err != nil || string(data) != b.Text() {
		r.Fatalf("%v: on disk\n%s\non the board\n%s", err, data, b.Text())
	}
	field, err := fields.Parse(b.Path(), data)
	if (err == nil) != (b.Sheet().Errors() == 0) {
		r.Fatalf("read: %v; problems: %v", err, b.Sheet().Problems)
	}
	if err == nil {
		shown := *b.Sheet().Field
		shown.SHA256 = field.SHA256
		again, err := json.Marshal(field)
		if want, wrong := json.Marshal(&shown); err != nil || wrong != nil || !bytes.Equal(again, want) {
			r.Fatalf("%v %v read again\n%s\nshown\n%s", err, wrong, again, want)
		}
	}
	for line := range strings.Lines(string(text)) {
		if at := strings.IndexByte(line, '#'); at >= 0 && !strings.Contains(line[at:], `"`) && !taken &&
			!strings.Contains(string(data), strings.TrimSpace(line[at:])) {
			r.Fatalf("the comment %q is gone from\n%s", line, data)
		}
	}
}

// randomStep does something, and reports whether it took something away.
func randomStep(r *rapid.T, b *Board) (taken bool) {
	place := func(what string) geom.Vec {
		return geom.Vec{X: rapid.Float64Range(-0.2, 4.5).Draw(r, what+" x"),
			Y: rapid.Float64Range(-0.2, 3.2).Draw(r, what+" y")}
	}
	tables := b.tables()
	b.Choose(rapid.SampledFrom(tables).Draw(r, "table"))
	shape := b.Sheet().Shape(b.Chosen())
	switch rapid.IntRange(0, 6).Draw(r, "what") {
	case 0:
		if shape != nil && shape.Move != nil {
			_ = b.Do("moved", shape.Move(place("by"))...)
		}
	case 1:
		if shape != nil && len(shape.Grips) > 0 {
			_ = b.Do("dragged", rapid.SampledFrom(shape.Grips).Draw(r, "grip").Drag(place("to"))...)
		}
	case 2:
		a := rapid.SampledFrom(b.Addings()).Draw(r, "adding")
		if _, err := b.Insert(a, place("from"), place("to")); err != nil {
			r.Fatalf("%s cannot be added: %v", a.Name, err)
		}
	case 3:
		_ = b.Twin()
	case 4:
		return b.Delete() == nil
	case 5:
		return b.Corner(shape, place("corner")) == nil && shape.Edges != "" // a box that becomes corners loses its line
	case 6:
		row := rapid.SampledFrom(b.Rows()).Draw(r, "row")
		typed := rapid.SampledFrom([]string{"600 mm", "3", "yes", "half turn", "x, y", "300 mm, 2.1 m", "core", `a"b\`,
			"7 kg", "", "[1, 2]", "ochre"}).Draw(r, "typed")
		return b.Write(row, typed) == nil && (typed == "" || row.Takes == tomlfile.Lists || row.Takes == tomlfile.Names)
	}
	return false
}

// Two hands on one file: what the other wrote is taken, never written over, and undone like a step of one's own.
func TestAChangeFromOutsideIsTaken(t *testing.T) {
	b := onBoard(t, "core_haul")
	mine := b.Text()
	theirs := strings.Replace(mine, `title = "Core Haul"`, `title = "Ours"`, 1)
	if err := os.WriteFile(b.Path(), []byte(theirs), 0o600); err != nil {
		t.Fatal(err)
	}
	zone := b.Sheet().Shape("zones[0]")
	err := b.Do("move", zone.Move(geom.Vec{X: 0.1})...)
	if err != errChanged || onDisk(t, b) != theirs || b.Text() != mine {
		t.Fatalf("%v; on disk %t, on the board %t", err, onDisk(t, b) == theirs, b.Text() == mine)
	}
	if err := b.Try(zone.Move(geom.Vec{X: 0.1})...); err != nil || !b.Trying() {
		t.Fatal(err)
	}
	if changed, err := b.Look(); !changed || err != nil || b.Text() != theirs || b.Trying() {
		t.Fatalf("%t %v", changed, err)
	}
	if changed, err := b.Look(); changed || err != nil {
		t.Fatalf("%t %v", changed, err)
	}
	if words, err := b.Undo(); words != "a change from outside" || err != nil || onDisk(t, b) != mine {
		t.Fatalf("%q %v", words, err)
	}
	if words, err := b.Redo(); words == "" || err != nil || onDisk(t, b) != theirs {
		t.Fatalf("%q %v", words, err)
	}
	broken := []byte("title = ")
	if err := os.WriteFile(b.Path(), broken, 0o600); err != nil {
		t.Fatal(err)
	}
	if changed, err := b.Look(); changed || err == nil || b.Text() != theirs {
		t.Fatalf("%t %v", changed, err)
	}
}

func TestThingsAreAddedForBothSides(t *testing.T) {
	b := onBoard(t, "core_haul")
	add := func(name string, points ...geom.Vec) string {
		t.Helper()
		i := slices.IndexFunc(b.Addings(), func(a Adding) bool { return a.Name == name })
		if i < 0 {
			t.Fatalf("no %s among %v", name, b.Addings())
		}
		path, err := b.Insert(b.Addings()[i], points...)
		if err != nil || b.Chosen() != path {
			t.Fatalf("%s: %v", name, err)
		}
		return path
	}
	for _, c := range []struct {
		name   string
		points []geom.Vec
		want   string // in the file
	}{
		{"zone", []geom.Vec{{X: 3.7, Y: 0.1}, {X: 4.1, Y: 0.4}},
			"[[zones]]\nname = \"teal zone 1\"\nkind = \"camp\"\nside = \"teal\"\n" +
				"box = [[\"3.7 m\", \"100 mm\"], [\"4.1 m\", \"400 mm\"]]\ncopy = true\n"},
		{"piece: core", []geom.Vec{{X: 0.9, Y: 2}}, "[[pieces]]\nkind = \"core\"\nat = [\"900 mm\", \"2 m\"]\ncopy = true\n"},
		{"piece: core", []geom.Vec{{X: 2.1, Y: 1.5}}, "[[pieces]]\nkind = \"core\"\nat = [\"2.1 m\", \"1.5 m\"]\n"},
		{"grid: core", []geom.Vec{{X: 3, Y: 2.2}, {X: 3.35, Y: 2.4}},
			"grid = [3, 2]\nstep = [\"175 mm\", \"200 mm\"]\ncopy = true\n"},
		{"goal: rack", []geom.Vec{{X: 0.04, Y: 1.5}},
			"[[goals]]\nkind = \"rack\"\nat = [\"40 mm\", \"1.5 m\"]\ncopy = true\n"},
		{"start", []geom.Vec{{X: 0.6, Y: 0.45}},
			"[[starts]]\nside = \"ochre\"\nat = [\"600 mm\", \"450 mm\"]\ncopy = true\n"},
		{"line", []geom.Vec{{X: 1, Y: 0}, {X: 1, Y: 3}},
			"[[lines]]\nname = \"line 1\"\nfrom = [\"1 m\", \"0 mm\"]\nto = [\"1 m\", \"3 m\"]\n"},
		{"rule", nil, "[[rules]]\nname = \"rule 1\"\nkind = \"piece in goal\"\npoints = 1\n"},
	} {
		add(c.name, c.points...)
		if !strings.Contains(b.Text(), c.want) {
			t.Errorf("%s: not in the file: %s\n%s", c.name, c.want, b.Text()[len(b.Text())-600:])
		}
	}
	if n := b.Sheet().Errors(); n > 1 { // the piece in the middle sled
		t.Errorf("%v", b.Sheet().Problems)
	}
	if at := b.Sheet().Field.Starts[1]; at.Side != 1 || math.Abs(at.At.X-3.6) > 1e-9 {
		t.Errorf("the other side starts at %+v", at)
	}
}

// A thing that is renamed keeps what names it.
func TestARenamedKindKeepsItsPieces(t *testing.T) {
	b := onBoard(t, "core_haul")
	b.Choose("piece_kinds[0]")
	if err := b.Write(b.Rows()[0], "drum"); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(b.Text(), `"core"`) || strings.Count(b.Text(), `"drum"`) < 10 || b.Sheet().Errors() > 0 {
		t.Errorf("%v\n%s", b.Sheet().Problems, b.Text())
	}
	b.Choose("rules[0]")
	if err := b.Write(b.Rows()[0], "drum in sled"); err != nil || b.Sheet().Errors() > 0 {
		t.Errorf("%v %v", err, b.Sheet().Problems)
	}
}

func TestWhatIsTypedIsReadAsTheKeyTakesIt(t *testing.T) {
	b := onBoard(t, "core_haul")
	for _, c := range []struct{ table, row, typed, written, err string }{
		{"", "tile", "500", `tile = "500 mm"`, ""},
		{"", "tile", "24 in", `tile = "24 in"`, ""},
		{"", "size", "4200, 3", `size = ["4200 mm", "3 m"]`, ""},
		{"", "tile", "wide", "", "is not a length"},
		{"", "symmetry", "left-right", `symmetry = "left-right"`, ""},
		{"", "symmetry", "left right", "", `"left-right"`},
		{"", "size", "4 m, 3", `size = ["4 m", "3 m"]`, ""},
		{"", "tie break", "core in sled, core on rack", `tie_break = ["core in sled", "core on rack"]`, ""},
		{"zones[0]", "  corner 2", "400, 1.25 m", `["400 mm", "1.25 m"]]`, ""},
		{"zones[0]", "copy", "no", "copy = false", ""},
		{"zones[0]", "side", "blue", "", "is no side"},
		{"pieces[1]", "grid", "4, 2", "grid = [4, 2]", ""},
		{"goals[1]", "heading", "45", `heading = "45 deg" #`, ""},
		{"goals[0]", "heading", "1 turn", `heading = "1 turn"`, ""},
		{"rules[0]", "points", "2.5", "points = 2.5", ""},
		{"rules[0]", "points", "5 * count", `points = "5 * count"`, ""},
		{"surface", "grip", "x", "", "is no number"},
		{"", "title", `A "new" game\`, `title = "A \"new\" game\\"`, ""},
	} {
		b.Choose(c.table)
		rows := b.Rows()
		i := slices.IndexFunc(rows, func(r Row) bool { return r.Label == c.row })
		if i < 0 {
			t.Fatalf("no row %q of %q: %v", c.row, c.table, rows)
		}
		err := b.Write(rows[i], c.typed)
		if (err == nil) != (c.err == "") || err != nil && !strings.Contains(err.Error(), c.err) ||
			!strings.Contains(onDisk(t, b), c.written) {
			t.Errorf("%s of %q: %q gives %v, want %q %q", c.row, c.table, c.typed, err, c.err, c.written)
		}
	}
}

func TestThePictureIsScaledByTwoPlaces(t *testing.T) {
	b := onBoard(t, "core_haul")
	if _, err := b.Sheet().Scaled(geom.Vec{}, geom.Vec{X: 1}, 2); err == nil {
		t.Error("no picture was scaled")
	}
	text := b.Text() + "\n[picture] # ours\nfile = \"plan.png\"\nbox = [[\"0 m\", \"0 m\"], [\"2 m\", \"1 m\"]]\n"
	if err := os.WriteFile(b.Path(), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Look(); err != nil {
		t.Fatal(err)
	}
	edits, err := b.Sheet().Scaled(geom.Vec{X: 0.5, Y: 0.5}, geom.Vec{X: 1, Y: 0.5}, 1)
	if err == nil {
		err = b.Do("scaled", edits...)
	}
	want := strings.Replace(text, `[["0 m", "0 m"], ["2 m", "1 m"]]`, `[["-0.5 m", "-0.5 m"], ["3.5 m", "1.5 m"]]`, 1)
	if err != nil || b.Text() != want {
		t.Errorf("%v\n%s", err, b.Text()[len(text)-100:])
	}
}

// A place within reach of a line of tiles, or of another shape's middle, comes onto it; one beyond stays; a shape's own
// lines do not hold it.
func TestPlacesSnapOntoLines(t *testing.T) {
	b := onBoard(t, "practice_yard")
	s := b.Sheet()
	const within = 0.03
	tile := geom.Vec{X: 2 * s.Tile, Y: 3 * s.Tile}
	for _, c := range []struct{ off, want geom.Vec }{
		{geom.Vec{}, geom.Vec{}}, {geom.Vec{X: 0.002}, geom.Vec{}}, {geom.Vec{X: -0.002, Y: 0.001}, geom.Vec{}},
	} {
		at := r2.Add(tile, c.off)
		if got, want := s.Snap(at, within, ""), r2.Add(tile, c.want); geom.Norm(r2.Sub(got, want)) > 1e-9 {
			t.Errorf("%v snaps to %v, want %v", at, got, want)
		}
		if got := s.Snap(at, 0.0005, ""); geom.Norm(r2.Sub(got, at)) > 1e-9 {
			t.Errorf("%v is out of reach, and snaps to %v", at, got)
		}
	}
	alone := &Sheet{Tile: s.Tile, Shapes: []Shape{{Path: "one", At: tile}}}
	step := geom.Vec{X: s.Tile + 0.002, Y: 0.05}
	if got := alone.SnapBy(&alone.Shapes[0], step, within); math.Abs(got.X-s.Tile) > 1e-9 || got.Y != step.Y {
		t.Errorf("a step of %v becomes %v", step, got)
	}
}

// A corner that is put into a symmetric floor comes with its image: the floor is symmetric before and after.
func TestACornerOfTheFloorComesWithItsImage(t *testing.T) {
	for name, at := range map[string]geom.Vec{"core_haul": {X: 1, Y: 0}, "kiln_yard": {X: 1, Y: 0}} {
		b := onBoard(t, name)
		before := len(b.Sheet().Field.Floor)
		if err := b.Corner(b.Sheet().Shape(""), at); err != nil {
			t.Fatal(err)
		}
		floor := b.Sheet().Field.Floor
		if len(floor) != before+2 || b.Sheet().Errors() > 0 {
			t.Errorf("%s: %d corners, %v", name, len(floor), b.Sheet().Problems)
		}
		image := b.Sheet().Frame.Point(at)
		if !slices.ContainsFunc(floor, func(v geom.Vec) bool { return geom.Norm(r2.Sub(v, image)) < 1e-9 }) {
			t.Errorf("%s: no corner at %v: %v", name, image, floor)
		}
	}
}

// In inches, what is shown is what a bare number means: the row tells inches, and takes them; what is not changed keeps
// the file's digits.
func TestRowsInInches(t *testing.T) {
	b := onBoard(t, "core_haul")
	b.In(units.Inch)
	row := func(path string) Row {
		t.Helper()
		for _, r := range b.Rows() {
			if r.Path == path {
				return r
			}
		}
		t.Fatalf("%s has no row %s", b.Chosen(), path)
		return Row{}
	}
	write := func(path, typed string) {
		t.Helper()
		if err := b.Write(row(path), typed); err != nil {
			t.Fatal(err)
		}
	}
	if got := row("tile").Value; got != "23.62 in" {
		t.Errorf("the tile is %s", got)
	}
	before := onDisk(t, b)
	write("tile", "23.62 in")
	if onDisk(t, b) != before {
		t.Error("what is told in inches is written over what the file has")
	}
	write("tile", "24")
	b.Choose("goals[0]")
	at := row("goals[0].at").Value
	x, _, _ := strings.Cut(at, ",")
	write("goals[0].at", x+", 60")
	if text := onDisk(t, b); !strings.Contains(text, `tile = "24 in"`) ||
		!strings.Contains(text, `at = ["2.1 m", "60 in"]`) {
		t.Errorf("at %s; %s", at, text[:400])
	}
	if err := b.Turn(row("goals[0].heading"), 1); err != nil || row("goals[0].heading").Value != "1 deg" {
		t.Error(err, row("goals[0].heading").Value)
	}
	b.Choose("piece_kinds[0]")
	if r := row("piece_kinds[0].across"); !strings.Contains(r.About, "0.39 in to 78.74 in") ||
		!strings.HasSuffix(r.Value, " in") {
		t.Errorf("%s: %s", r.Value, r.About)
	}
	if r := row("piece_kinds[0].mass"); !strings.HasSuffix(r.Value, " lb") {
		t.Errorf("its mass is %s", r.Value)
	}
}

// What is renamed is renamed in formulas too: where they name it, and nowhere else.
func TestRenamingReachesFormulas(t *testing.T) {
	b := onBoard(t, "orchard_row")
	formulas := func() string {
		var out []string
		for _, line := range strings.Split(onDisk(t, b), "\n") {
			if strings.HasPrefix(line, "when = ") || strings.HasPrefix(line, "points = \"") {
				out = append(out, line)
			}
		}
		return strings.Join(out, "\n")
	}
	before := formulas()
	for _, g := range b.Sheet().Groups {
		for _, item := range g.Items {
			if !slices.Contains([]string{"rules", "phases", "piece_kinds", "goal_kinds"}, g.Path) {
				continue
			}
			b.Choose(item.Path)
			if err := b.Write(b.Rows()[0], item.Words+" it's"); err != nil {
				t.Fatal(err)
			}
			if b.Sheet().Errors() > 0 {
				t.Errorf("%s renamed: %v", item.Words, b.Sheet().Problems)
			}
		}
	}
	if formulas() == before || !strings.Contains(before, "count('") {
		t.Errorf("the formulas are as before:\n%s", before)
	}
	for text, want := range map[string]string{
		`count('a') + other.points("a")`: `count('b') + other.points("b")`, `count('aa')`: `count('aa')`,
		`held('a') + count( 'a' )`: `held('a') + count( 'b' )`,
	} {
		if got := fields.Renamed(text, "rule", "a", "b"); got != want {
			t.Errorf("%s becomes %s, want %s", text, got, want)
		}
	}
}
