package canvas

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
)

// Stroke paints polylines, closed or open. A line thinner than a pixel is drawn a pixel wide and fainter.
func (p *Pen) Stroke(lines [][]geom.Vec, closed bool, width float64, c scene.Colour) {
	for _, line := range lines {
		if len(line) >= 2 {
			p.stroke(p.pixels(line), width*p.Scale, c, closed)
		}
	}
}

// Segment draws one straight line.
func (p *Pen) Segment(x0, y0, x1, y1, width float64, c scene.Colour) {
	ends := [...]geom.Vec{{X: x0 * p.Scale, Y: y0 * p.Scale}, {X: x1 * p.Scale, Y: y1 * p.Scale}}
	p.stroke(ends[:], width*p.Scale, c, false)
}

// row is a row of corners along a line: how far from its middle (pixels), and how much of the colour it has.
type row struct{ off, cover float64 }

// thin is the width up to which a line has three rows instead of four: its cover rises to the middle and falls again.
const thin = 1.6

// rows gives the rows of a line of a width in pixels. The cover summed across a line is its width, as long as it is not
// more than full anywhere.
func (p *Pen) rows(width float64) []row {
	outer := (width + 1) / 2
	if width <= thin {
		peak := math.Min(1, math.Max(width, 0)/outer)
		p.cross = append(p.cross[:0], row{outer, 0}, row{0, peak}, row{-outer, 0})
	} else {
		inner := (width - 1) / 2
		p.cross = append(p.cross[:0], row{outer, 0}, row{inner, 1}, row{-inner, 1}, row{-outer, 0})
	}
	return p.cross
}

// stroke adds the rows of corners along a line of pixels, and the bands between them.
func (p *Pen) stroke(points []geom.Vec, width float64, c scene.Colour, closed bool) {
	if !(width > 0) {
		return
	}
	rows := p.rows(math.Max(width, minLine))
	if width < minLine {
		rows[1].cover *= width / minLine
	}
	first, n, across := uint32(len(p.vertices)), len(points), uint32(len(rows))
	for i, at := range points {
		m := miterAlong(points, i, closed)
		for _, r := range rows {
			p.vertex(at.X+m.X*r.off, at.Y+m.Y*r.off, c, r.cover)
		}
	}
	last := n - 1
	if closed {
		last = n
	}
	from, index := 0, len(p.indices)
	for i := range last {
		a, b := first+across*uint32(i), first+across*uint32((i+1)%n)
		for k := range across - 1 {
			p.quad(a+k, a+k+1, b+k+1, b+k)
		}
		if !closed && (i+1-from == pieceLength || i+1 == last) {
			p.piece([2]int{int(first) + int(across)*from, int(b + across)}, [2]int{index, len(p.indices)})
			from, index = i+1, len(p.indices)
		}
	}
	if closed {
		p.shape(int(first), index)
	}
}

// pieceLength is how many stretches of a long line are one piece: a line that grows changes at its end only.
const pieceLength = 8

// minLine is the least width of a line, pixels: a thinner one is drawn so wide and fainter.
const minLine = 1.0

func miterAlong(points []geom.Vec, i int, closed bool) geom.Vec {
	n := len(points)
	before, after := points[max(i-1, 0)], points[min(i+1, n-1)]
	if closed {
		before, after = points[(i+n-1)%n], points[(i+1)%n]
	}
	return miter(before, points[i], after)
}
