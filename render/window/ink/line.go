package ink

import (
	"math"

	"chalkfield/internal/geom"
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

// stroke adds four rows of corners along a line of pixels: transparent, full, full, transparent.
func (p *Pen) stroke(points []geom.Vec, width float64, c scene.Colour, closed bool) {
	cover := 1.0
	if width < 1 {
		cover, width = math.Max(width, 0), 1
	}
	inner, outer := width/2-0.5, width/2+0.5
	first, n := uint32(len(p.vertices)), len(points)
	for i, at := range points {
		m := miterAlong(points, i, closed)
		for _, row := range [4][2]float64{{outer, 0}, {inner, cover}, {-inner, cover}, {-outer, 0}} {
			p.vertex(at.X+m.X*row[0], at.Y+m.Y*row[0], c, row[1])
		}
	}
	last := n - 1
	if closed {
		last = n
	}
	for i := range last {
		a, b := first+4*uint32(i), first+4*uint32((i+1)%n)
		for row := range uint32(3) {
			p.quad(a+row, a+row+1, b+row+1, b+row)
		}
	}
}

func miterAlong(points []geom.Vec, i int, closed bool) geom.Vec {
	n := len(points)
	before, after := points[max(i-1, 0)], points[min(i+1, n-1)]
	if closed {
		before, after = points[(i+n-1)%n], points[(i+1)%n]
	}
	return miter(before, points[i], after)
}
