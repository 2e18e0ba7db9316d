package picture

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// sheet is the score sheet: a row a rule, a column a side with its points and, where there is room, the counts.
type sheet struct {
	sides   []scene.SideTag
	rows    []sheetRow
	notes   []string // winner, running score, per robot figures
	column  float64  // width of a side's column
	points  float64  // width of the widest points
	counts  bool
	running bool
}

type sheetRow struct {
	name   []string
	count  []string
	points []string
	total  bool
}

const (
	leastName = 96.0  // width of the rules' names, at least
	countGap  = 12.0  // between the counts and the points
	sideGap   = 14.0  // before a column
	leastSide = 50.0  // of a side's column
	mostSide  = 104.0 // of a side's column for its name's sake; numbers are never cut
	mostSides = 4     // with a column each; more are rows
	sideMark  = 22.0  // room for a side's mark and the gap to the column before
)

func newSheet(f *scene.Furniture, width float64) *sheet {
	s := &sheet{}
	if f.Sheet == nil {
		if f.Running != "" {
			s.notes, s.running = paint.Wrap(f.Running, width, smallSize, false, 3), true
		}
		return s
	}
	s.sides = f.Sides
	n := float64(len(s.sides))
	s.measure(f)
	if width-n*s.column < leastName {
		s.column, s.counts = math.Max(math.Max(leastSide, s.points+sideGap), (width-leastName)/n), false
	}
	if len(s.sides) > mostSides || width-n*s.column < leastName {
		s.notes = append(totals(f), notes(f)...)
		s.sides = nil
	} else {
		s.table(f, width-n*s.column-8)
		s.notes = notes(f)
	}
	s.notes = wrapAll(s.notes, width)
	return s
}

// measure sets the columns' width, the same for all sides, by the widest of their cells.
func (s *sheet) measure(f *scene.Furniture) {
	s.column, s.counts = leastSide, true
	counts := 0.0
	for i, side := range s.sides {
		s.column = math.Max(s.column, paint.Width(paint.Clean(side.Name), smallSize, true)+sideMark)
		s.points = math.Max(s.points, paint.Width(f.Sheet.Points()[i], smallSize, true))
		for _, row := range f.Sheet.Rows {
			count, points := row.Cell(i)
			s.points = math.Max(s.points, paint.Width(points, smallSize, true))
			counts = math.Max(counts, paint.Width(count, smallSize, false))
		}
	}
	s.column = math.Max(math.Min(s.column, mostSide), sideGap+counts+countGap+s.points)
}

// table sets a row for each rule and one for the totals.
func (s *sheet) table(f *scene.Furniture, nameWidth float64) {
	for _, row := range f.Sheet.Rows {
		out := sheetRow{name: paint.Wrap(row.Rule, nameWidth, smallSize, false, 2)}
		for i := range s.sides {
			count, points := row.Cell(i)
			out.count, out.points = append(out.count, count), append(out.points, points)
		}
		s.rows = append(s.rows, out)
	}
	s.rows = append(s.rows, sheetRow{name: []string{"total"}, points: f.Sheet.Points(), total: true})
}

// totals are the sides' points as lines, for sheets with more sides than columns.
func totals(f *scene.Furniture) []string {
	var lines []string
	for i, side := range f.Sides {
		lines = append(lines, side.Name+": "+f.Sheet.Points()[i])
	}
	return lines
}

// notes say who won, and the figures that are no points.
func notes(f *scene.Furniture) []string {
	var lines []string
	if ahead := f.Sheet.Ahead(); ahead != "" {
		lines = append(lines, ahead)
	}
	for i, left := range f.Sheet.Left {
		line := left.String()
		if len(f.Sheet.Left) > 1 && i < len(f.Robots) {
			line = f.Robots[i] + ": " + line
		}
		lines = append(lines, line)
	}
	return lines
}

func wrapAll(lines []string, width float64) []string {
	var out []string
	for _, line := range lines {
		out = append(out, paint.Wrap(line, width, smallSize, false, 2)...)
	}
	return out
}

func (s *sheet) height() float64 {
	lines := len(s.notes)
	for _, row := range s.rows {
		lines += max(len(row.name), 1)
	}
	if lines == 0 {
		return 0
	}
	if len(s.rows) > 0 {
		lines++ // the sides' names
	}
	return headHeight + float64(lines)*rowHeight
}

func (s *sheet) draw(p paint.Painter, d *paint.Drawer, box paint.Box) {
	head := "Score"
	if s.running {
		head = "Score so far"
	}
	drawHead(p, head, box)
	y := box.Top + headHeight
	if len(s.rows) > 0 {
		for i, side := range s.sides {
			s.drawSide(p, d, side, box.Right-float64(len(s.sides)-1-i)*s.column, y)
		}
		y += rowHeight
	}
	for _, row := range s.rows {
		y = s.drawRow(p, row, box, y)
	}
	for _, line := range s.notes {
		words(p, line, box.Left, y+textDrop, smallSize, false, scene.Dust)
		y += rowHeight
	}
}

// drawSide heads a side's column, which ends at a right edge.
func (s *sheet) drawSide(p paint.Painter, d *paint.Drawer, side scene.SideTag, right, y float64) {
	name := paint.Fit(paint.Clean(side.Name), s.column-sideMark, smallSize, true)
	wide := paint.Width(name, smallSize, true)
	wordsRight(p, name, right, y+textDrop, smallSize, true, side.Colour)
	mark := side.Mark
	if mark == scene.NoShape {
		mark = scene.Diamond
	}
	d.Mark(p, mark, geom.Vec{X: right - math.Min(wide, s.column-sideMark) - 9, Y: y + 9}, 5, side.Colour, scene.Pen{})
}

func (s *sheet) drawRow(p paint.Painter, row sheetRow, box paint.Box, y float64) float64 {
	colour := scene.Chalk
	if row.total {
		rule(p, box.Left, box.Right, y)
	}
	for i := range s.sides {
		right := box.Right - float64(len(s.sides)-1-i)*s.column
		wordsRight(p, row.points[i], right, y+textDrop, smallSize, true, colour)
		if s.counts && row.count != nil {
			wordsRight(p, row.count[i], right-s.points-countGap, y+textDrop, smallSize, false, scene.Dust)
		}
	}
	for _, line := range row.name {
		words(p, line, box.Left, y+textDrop, smallSize, row.total, colour)
		y += rowHeight
	}
	if len(row.name) == 0 {
		y += rowHeight
	}
	return y
}
