package paint

import (
	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
)

// Recorder is the Painter of the tests of pictures: it remembers what was painted, in order.
type Recorder struct {
	Texts   []Text
	Fills   []Box // bounds of filled polygons
	Strokes [][]geom.Vec
	Discs   int
}

func (r *Recorder) Fill(corners []geom.Vec, _ scene.Colour) {
	r.Fills = append(r.Fills, bounds(corners))
}

func (r *Recorder) Stroke(lines [][]geom.Vec, _ bool, _ float64, _ scene.Colour) {
	for _, line := range lines {
		r.Strokes = append(r.Strokes, append([]geom.Vec(nil), line...))
	}
}

func (r *Recorder) Disc(geom.Vec, float64, scene.Colour)          { r.Discs++ }
func (r *Recorder) Ring(geom.Vec, float64, float64, scene.Colour) { r.Discs++ }
func (r *Recorder) Text(t Text)                                   { r.Texts = append(r.Texts, t) }

func bounds(points []geom.Vec) Box {
	box := Box{Left: points[0].X, Right: points[0].X, Top: points[0].Y, Bottom: points[0].Y}
	for _, v := range points {
		box.Left, box.Right = min(box.Left, v.X), max(box.Right, v.X)
		box.Top, box.Bottom = min(box.Top, v.Y), max(box.Bottom, v.Y)
	}
	return box
}
