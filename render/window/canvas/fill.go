package canvas

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
)

// Rect fills a rectangle without smoothing: its edges are put on whole pixels.
func (p *Pen) Rect(x, y, width, height float64, c scene.Colour) {
	x0, y0 := math.Round(x*p.Scale), math.Round(y*p.Scale)
	x1, y1 := math.Round((x+width)*p.Scale), math.Round((y+height)*p.Scale)
	corner, index := len(p.vertices), len(p.indices)
	p.quad(p.vertex(x0, y0, c, 1), p.vertex(x1, y0, c, 1), p.vertex(x1, y1, c, 1), p.vertex(x0, y1, c, 1))
	p.shape(corner, index)
}

// Fill paints the inside of a simple polygon, convex or not, in either sense of turning.
func (p *Pen) Fill(corners []geom.Vec, c scene.Colour) {
	if len(corners) < 3 {
		return
	}
	outline := p.pixels(corners)
	if turning(outline) < 0 {
		reverse(outline)
	}
	first := uint32(len(p.vertices))
	defer p.shape(len(p.vertices), len(p.indices))
	p.fringe(outline, c)
	if convex(outline) {
		for i := 1; i+1 < len(outline); i++ {
			p.triangle(first, first+2*uint32(i), first+2*uint32(i+1))
		}
		return
	}
	for _, t := range ears(outline) {
		p.triangle(first+2*uint32(t[0]), first+2*uint32(t[1]), first+2*uint32(t[2]))
	}
}

// fringe adds two corners for each of the outline, half a pixel inside with full cover and half a pixel outside with
// none, and the band between them. The outline turns clockwise on the screen (positive area with y down).
func (p *Pen) fringe(outline []geom.Vec, c scene.Colour) {
	n := len(outline)
	first := uint32(len(p.vertices))
	for i, at := range outline {
		m := miter(outline[(i+n-1)%n], at, outline[(i+1)%n])
		p.vertex(at.X-m.X/2, at.Y-m.Y/2, c, 1)
		p.vertex(at.X+m.X/2, at.Y+m.Y/2, c, 0)
	}
	for i := range n {
		a, b := first+2*uint32(i), first+2*uint32((i+1)%n)
		p.quad(a, a+1, b+1, b)
	}
}

// Disc paints a filled circle.
func (p *Pen) Disc(at geom.Vec, radius float64, c scene.Colour) { p.Fill(p.circle(at, radius), c) }

// Ring paints a circle's line.
func (p *Pen) Ring(at geom.Vec, radius, width float64, c scene.Colour) {
	p.stroke(p.pixels(p.circle(at, radius)), width*p.Scale, c, true)
}

// circle has enough corners that the chord stays within a quarter pixel of the arc: sagitta r (1 - cos(pi/n)).
func (p *Pen) circle(at geom.Vec, radius float64) []geom.Vec {
	n := int(math.Ceil(math.Pi / math.Acos(1-math.Min(0.25/math.Max(radius*p.Scale, 1), 0.5))))
	n = min(max(n, 8), 128)
	p.round = p.round[:0]
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		p.round = append(p.round, geom.Vec{X: at.X + radius*c, Y: at.Y + radius*s})
	}
	return p.round
}

// pixels turns logical points into pixels in the pen's scratch memory: good until the next call.
func (p *Pen) pixels(points []geom.Vec) []geom.Vec {
	p.scratch = p.scratch[:0]
	for _, at := range points {
		p.scratch = append(p.scratch, geom.Vec{X: at.X * p.Scale, Y: at.Y * p.Scale})
	}
	return p.scratch
}
