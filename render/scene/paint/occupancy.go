package paint

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
)

// cell is the side of a square of the grid, pixels.
const cell = 8.0

// What it costs a label to cover a cell of each kind of thing.
const (
	coverLine = 2
	coverBody = 1
	coverMark = 6
)

// occupancy counts what is drawn where, coarsely, so that labels keep off it.
type occupancy struct {
	area          Box
	columns, rows int
	cost          []int
}

// fill counts the scene's items that ask for it.
func (c *occupancy) fill(s *scene.Scene, v View) {
	c.area = v.Area
	c.columns, c.rows = int(v.Area.Width()/cell)+1, int(v.Area.Height()/cell)+1
	n := max(c.columns*c.rows, 0)
	if cap(c.cost) < n {
		c.cost = make([]int, n)
	}
	c.cost = c.cost[:n]
	clear(c.cost)
	for i := range s.Layers {
		for k := range s.Layers[i].Items {
			if item := &s.Layers[i].Items[k]; item.Avoid {
				c.item(item, v)
			}
		}
	}
}

func (c *occupancy) item(item *scene.Item, v View) {
	switch item.Kind {
	case scene.Line:
		c.line(item.Points, v)
	case scene.Mark:
		radius := v.Length(item.Radius)
		at := v.Pixel(item.At)
		c.block(Box{at.X, at.Y, at.X, at.Y}.Grown(radius), coverMark)
	case scene.Disc:
		at := v.Pixel(item.At)
		c.block(Box{at.X, at.Y, at.X, at.Y}.Grown(v.Length(item.Radius)*0.8), coverBody)
	case scene.Area:
		if item.Fill.A == 0 && len(item.Points) > 1 {
			c.line(item.Points, v) // an outline covers nothing but its edges
			c.edge(item.Points[len(item.Points)-1], item.Points[0], -1, v)
			return
		}
		box := Box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
		for _, p := range item.Points {
			at := v.Pixel(p)
			box.Left, box.Right = math.Min(box.Left, at.X), math.Max(box.Right, at.X)
			box.Top, box.Bottom = math.Min(box.Top, at.Y), math.Max(box.Bottom, at.Y)
		}
		c.block(box, coverBody)
	}
}

// line walks a polyline in steps of a cell.
func (c *occupancy) line(points []geom.Vec, v View) {
	last := -1
	for i := 1; i < len(points); i++ {
		last = c.edge(points[i-1], points[i], last, v)
	}
}

// edge walks one stretch, without counting again the cell that the one before ended in; it gives its own last cell.
func (c *occupancy) edge(from, to geom.Vec, last int, v View) int {
	a, b, visible := clip(v.Pixel(from), v.Pixel(to), c.area)
	if !visible {
		return last
	}
	steps := int(math.Hypot(b.X-a.X, b.Y-a.Y)/cell) + 1
	for k := 0; k <= steps; k++ {
		share := float64(k) / float64(steps)
		at := c.cellAt(a.X+(b.X-a.X)*share, a.Y+(b.Y-a.Y)*share)
		if at >= 0 && at != last {
			c.cost[at] += coverLine
			last = at
		}
	}
	return last
}

func (c *occupancy) cellAt(x, y float64) int {
	column, row := int((x-c.area.Left)/cell), int((y-c.area.Top)/cell)
	if column < 0 || row < 0 || column >= c.columns || row >= c.rows {
		return -1
	}
	return row*c.columns + column
}

// span is the range of cells that a box covers.
func (c *occupancy) span(box Box) (left, top, right, bottom int) {
	at := func(x, low float64, n int) int {
		return int(geom.Clamp(math.Floor((x-low)/cell), -1, float64(n)))
	}
	left, right = max(at(box.Left, c.area.Left, c.columns), 0), min(at(box.Right, c.area.Left, c.columns), c.columns-1)
	top, bottom = max(at(box.Top, c.area.Top, c.rows), 0), min(at(box.Bottom, c.area.Top, c.rows), c.rows-1)
	return left, top, right, bottom
}

func (c *occupancy) block(box Box, cost int) {
	left, top, right, bottom := c.span(box)
	for row := top; row <= bottom; row++ {
		for column := left; column <= right; column++ {
			c.cost[row*c.columns+column] += cost
		}
	}
}

// under sums what a box would cover.
func (c *occupancy) under(box Box) int {
	left, top, right, bottom := c.span(box)
	sum := 0
	for row := top; row <= bottom; row++ {
		for column := left; column <= right; column++ {
			sum += c.cost[row*c.columns+column]
		}
	}
	return sum
}
