package paint

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
)

// Drawer draws scenes and keeps its buffers from one to the next. The zero Drawer is ready. A Drawer is for one
// goroutine.
type Drawer struct {
	Covered []Box // what is drawn over the picture afterwards: no label stands there, for half of one could not be read

	OffRobots bool // no other thing's name stands over a robot: where there is no room beside it, it is left out

	pixels []geom.Vec
	lines  lines
	places placer
}

// Draw paints the scene's layers, then its labels. Shapes may reach beyond the view's area by some pixels: whoever
// draws a smaller area than the whole picture covers the margins afterwards. Labels stay within the area.
func (d *Drawer) Draw(p Painter, s *scene.Scene, v View) {
	d.Items(p, s, v)
	d.Labels(p, s, v)
}

// Items paints the scene's layers without their labels.
func (d *Drawer) Items(p Painter, s *scene.Scene, v View) {
	for i := range s.Layers {
		for k := range s.Layers[i].Items {
			d.item(p, &s.Layers[i].Items[k], v)
		}
	}
}

// Labels paints the labels alone, where they keep off the scene's items.
func (d *Drawer) Labels(p Painter, s *scene.Scene, v View) {
	d.places.off = d.OffRobots
	d.places.place(s, v, d.Covered)
	d.places.paint(p, d)
}

func (d *Drawer) item(p Painter, item *scene.Item, v View) {
	switch item.Kind {
	case scene.Area:
		d.pixels = d.pixels[:0]
		for _, point := range item.Points {
			d.pixels = append(d.pixels, v.Pixel(point))
		}
		d.area(p, d.pixels, item, v)
	case scene.Line:
		d.line(p, item, v)
	case scene.Disc:
		d.disc(p, v.Pixel(item.At), v.Length(item.Radius), item, v)
	case scene.Mark:
		at, radius := v.Pixel(item.At), v.Length(item.Radius)
		if item.Shape == scene.RoundShape {
			d.disc(p, at, radius, item, v)
			return
		}
		d.pixels = appendMark(d.pixels[:0], item.Shape, at, radius, item.Heading)
		d.area(p, d.pixels, item, v)
	}
}

// appendMark adds a shape's corners in pixels. The heading is the field's, counter-clockwise; pixels have y down.
func appendMark(to []geom.Vec, shape scene.Shape, at geom.Vec, radius, heading float64) []geom.Vec {
	sin, cos := math.Sincos(heading)
	for _, c := range shape.Corners() {
		to = append(to, geom.Vec{X: at.X + radius*(cos*c.X-sin*c.Y), Y: at.Y - radius*(sin*c.X+cos*c.Y)})
	}
	return to
}

func (d *Drawer) area(p Painter, corners []geom.Vec, item *scene.Item, v View) {
	box := boundsOf(corners)
	if len(corners) < 3 || !box.Meets(v.Area.Grown(beyond)) || math.Max(box.Width(), box.Height()) > 1e5 {
		return
	}
	if item.Fill.A != 0 {
		p.Fill(corners, item.Fill)
	}
	if item.Pen.Width > 0 {
		if item.Pen.Dash == scene.Solid && box.Within(v.Area.Grown(beyond)) {
			d.lines.out = append(d.lines.out[:0], corners)
			p.Stroke(d.lines.out, true, item.Pen.Width, item.Pen.Colour)
			return
		}
		d.stroke(p, corners, true, item.Pen, v)
	}
}

func (d *Drawer) disc(p Painter, at geom.Vec, radius float64, item *scene.Item, v View) {
	box := Box{at.X, at.Y, at.X, at.Y}.Grown(radius)
	if !box.Meets(v.Area.Grown(beyond)) || radius > 1e5 {
		return
	}
	if item.Fill.A != 0 {
		p.Disc(at, radius, item.Fill)
	}
	if item.Pen.Width > 0 {
		p.Ring(at, radius, item.Pen.Width, item.Pen.Colour)
	}
}

// line draws a polyline; stretches of one shade are one stroke.
func (d *Drawer) line(p Painter, item *scene.Item, v View) {
	points := item.Points
	from := 0
	for from+1 < len(points) {
		to, pen := len(points)-1, item.Pen
		if item.Shades != nil {
			pen.Colour = item.Shades[from]
			for to = from + 1; to+1 < len(points) && item.Shades[to] == pen.Colour; to++ {
			}
		}
		d.pixels = d.pixels[:0]
		for _, point := range points[from : to+1] {
			d.pixels = append(d.pixels, v.Pixel(point))
		}
		d.stroke(p, d.pixels, false, pen, v)
		from = to
	}
}

func (d *Drawer) stroke(p Painter, pixels []geom.Vec, closed bool, pen scene.Pen, v View) {
	d.lines.reset()
	d.lines.trace(pixels, closed, pen.Dash, v.Area.Grown(beyond))
	if len(d.lines.ends) > 0 {
		p.Stroke(d.lines.all(), false, pen.Width, pen.Colour)
	}
}

// Stroke draws a line of pixels with a pen.
func (d *Drawer) Stroke(p Painter, pixels []geom.Vec, closed bool, pen scene.Pen) {
	d.stroke(p, pixels, closed, pen, View{Area: boundsOf(pixels)})
}

// Swatch draws a legend's sample of one way of drawing, in a box.
func (d *Drawer) Swatch(p Painter, row scene.LegendRow, box Box) {
	middle := geom.Vec{X: (box.Left + box.Right) / 2, Y: (box.Top + box.Bottom) / 2}
	view := View{Scale: 1, Area: box.Grown(20)}
	switch {
	case len(row.Ramp) > 0:
		step := box.Width() / float64(len(row.Ramp))
		for i, c := range row.Ramp {
			part := Box{box.Left + float64(i)*step, middle.Y - 4, box.Left + float64(i+1)*step, middle.Y + 4}
			corners := part.Corners()
			p.Fill(corners[:], c)
		}
	case row.Line.Width > 0:
		d.pixels = append(d.pixels[:0], geom.Vec{X: box.Left, Y: middle.Y}, geom.Vec{X: box.Right, Y: middle.Y})
		d.stroke(p, d.pixels, false, row.Line, view)
	default:
		d.Mark(p, row.Shape, middle, 6, row.Fill, row.Pen)
	}
}

// Mark draws one mark at a pixel.
func (d *Drawer) Mark(p Painter, shape scene.Shape, at geom.Vec, radius float64, fill scene.Colour, pen scene.Pen) {
	view := View{Scale: 1, Area: Box{at.X, at.Y, at.X, at.Y}.Grown(4 * radius)}
	item := scene.Item{Kind: scene.Mark, Shape: shape, Fill: fill, Pen: pen}
	if shape == scene.RoundShape {
		d.disc(p, at, radius, &item, view)
		return
	}
	d.pixels = appendMark(d.pixels[:0], shape, at, radius, 0)
	d.area(p, d.pixels, &item, view)
}

func boundsOf(points []geom.Vec) Box {
	box := Box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, v := range points {
		box.Left, box.Right = math.Min(box.Left, v.X), math.Max(box.Right, v.X)
		box.Top, box.Bottom = math.Min(box.Top, v.Y), math.Max(box.Bottom, v.Y)
	}
	return box
}
