package report

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// places says where everything is laid out, in metric units in the millimetres and degrees of routines.
func places(in units.System, f *fields.Field) Section {
	t := facts(in)
	for _, z := range f.Zones {
		t.fact("Zone", "%s (%s), %s: corners %s", z.Name, z.Kind, ownerName(f, z.Side), corners(in, z.Shape))
	}
	for _, l := range f.Lines {
		t.fact("Line", "%s: from %s to %s, %s wide", l.Name, spot(in, l.A), spot(in, l.B), in.Text(l.Width, "mm", 0))
	}
	for _, m := range f.Marks {
		at := spot(in, m.At.At())
		if m.Flat {
			at = placed(in, m.At) + ", seen from there"
		}
		if m.High {
			at += ", above robots and goals"
		}
		t.fact("Mark", "%s: %s", m.Name, at)
	}
	for _, g := range f.Goals {
		t.fact("Goal", "%s (%s), %s: %s", g.Name, f.GoalKinds[g.Kind].Name, ownerName(f, g.Side), placed(in, g.At))
	}
	for _, row := range pieceRows(f) {
		t.fact("Piece", "%s", pieceRow(in, f, row))
	}
	for _, l := range f.Loads {
		t.fact("Load", "%s", loadRow(in, f, l))
	}
	line := "Places in mm, x right and y up, headings in deg counter-clockwise from x, as routines write them"
	if in != units.Metric {
		line = "Places in inches, x right and y up, headings in deg counter-clockwise from x; " +
			"a routine writes 24 * inch for 24"
	}
	return Section{Table: t, Lines: []string{line}}
}

// pieceRows puts together the pieces told on one line: alike, on the floor, and as far from one to the next all along.
// A symmetric copy stands right after its original, so a row's pieces need not follow each other in the list.
func pieceRows(f *fields.Field) [][]fields.Piece {
	taken := make([]bool, len(f.Pieces))
	var rows [][]fields.Piece
	for i, first := range f.Pieces {
		if taken[i] || f.LoadOf(i) >= 0 {
			continue
		}
		row := []fields.Piece{first}
		for k := i + 1; k < len(f.Pieces); k++ {
			if !taken[k] && f.LoadOf(k) < 0 && continues(row, f.Pieces[k], f.Tile) {
				row, taken[k] = append(row, f.Pieces[k]), true
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// continues reports whether a piece is the next of a row: less than a tile from a single one, else as the last from the
// one before.
func continues(row []fields.Piece, next fields.Piece, tile float64) bool {
	const slack = 0.0005 // m: what rounding to mm hides
	last := row[len(row)-1]
	step := between(last, next)
	if !sameRow(last, next) {
		return false
	}
	if len(row) == 1 {
		return math.Hypot(step.X, step.Y) < tile
	}
	before := between(row[len(row)-2], last)
	return math.Hypot(step.X-before.X, step.Y-before.Y) < slack
}

func sameRow(a, b fields.Piece) bool {
	return a.Kind == b.Kind && a.Side == b.Side && a.Goal < 0 && b.Goal < 0 && a.Robot < 0 && b.Robot < 0
}

func between(a, b fields.Piece) geom.Vec {
	return geom.Vec{X: b.At.X - a.At.X, Y: b.At.Y - a.At.Y}
}

// pieceRow names the pieces of a row, then where each is.
func pieceRow(in units.System, f *fields.Field, row []fields.Piece) string {
	first := row[0]
	words := namesOf(row)
	if first.Side >= 0 {
		words += ", " + ownerName(f, first.Side)
	}
	switch {
	case first.Robot >= 0:
		return words + ": loaded in the first robot of " + f.Sides[first.Robot].Name
	case first.Goal >= 0:
		return words + ": in " + f.Goals[first.Goal].Name
	}
	var places []string
	for _, p := range row {
		places = append(places, spot(in, p.At.At()))
	}
	return words + ": " + strings.Join(places, ", ")
}

// loadRow says what a person puts onto the floor, where, when and how.
func loadRow(in units.System, f *fields.Field, l fields.Loader) string {
	pieces := fmt.Sprintf("%d x %s", l.Count, f.PieceKinds[l.Kind].Name)
	if l.Owner >= 0 {
		pieces += ", " + ownerName(f, l.Owner)
	}
	words := fmt.Sprintf("%s, %s: a person puts %s (%s) down at %s", l.Name, ownerName(f, l.Side), pieces,
		namesOf(f.Pieces[l.First:l.First+l.Count]), spot(in, l.At.At()))
	if l.Speed > 0 {
		words += fmt.Sprintf(" with %s towards heading %s", in.Retold(units.Text(l.Speed, "m/s")),
			whole(geom.Degrees(l.At.Heading)))
	}
	words += fmt.Sprintf(", %s each, where there is room", units.Text(l.Takes, "s"))
	if len(l.Phases) > 0 {
		words += ", in " + strings.Join(named(l.Phases, func(p int) string { return f.Phases[p].Name }), " and ")
	}
	if l.Hands >= 0 {
		words += ", and no robot in " + f.Zones[l.Hands].Name
	}
	return words
}

func named(list []int, name func(int) string) (names []string) {
	for _, k := range list {
		names = append(names, name(k))
	}
	return names
}

// namesOf is "core 3, 5, 7": what the names share is said once.
func namesOf(row []fields.Piece) string {
	words := row[0].Name
	shared := words[:strings.LastIndex(words, " ")+1]
	for _, p := range row[1:] {
		words += ", " + strings.TrimPrefix(p.Name, shared)
	}
	return words
}

func corners(in units.System, shape geom.Polygon) string {
	var list []string
	for _, v := range shape {
		list = append(list, spot(in, v))
	}
	return strings.Join(list, ", ")
}

// spot is a place without its unit: "(950, 450)".
func spot(in units.System, v geom.Vec) string {
	return "(" + in.Figure(v.X, "mm", 0) + ", " + in.Figure(v.Y, "mm", 0) + ")"
}

// whole is a number to the nearest one, without a minus before zero.
func whole(v float64) string { return fmt.Sprintf("%.0f", math.Round(v)+0) }

// Place is a place and heading, the heading above -180 and up to 180 deg: "(600, 450) heading 180", as routines have
// it, or "(23.62, 17.72) in heading 180".
func Place(in units.System, at geom.Pose) string {
	if in == units.Metric {
		return placed(in, at)
	}
	return spot(in, at.At()) + " " + in.Name("mm") + turnedTo(at)
}

// placed is a Place whose unit is said elsewhere.
func placed(in units.System, at geom.Pose) string { return spot(in, at.At()) + turnedTo(at) }

func turnedTo(at geom.Pose) string {
	turned := math.Round(geom.Degrees(geom.WrapAngle(at.Heading)))
	if turned == -180 { // rounded from just above
		turned = 180
	}
	return " heading " + whole(turned)
}
