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
	r.Fills = append(r.Fills, boundsOf(corners))
}

func (r *Recorder) Stroke(lines [][]geom.Vec, _ bool, _ float64, _ scene.Colour) {
	for _, line := range lines {
		r.Strokes = append(r.Strokes, append([]geom.Vec(nil), line...))
	}
}

func (r *Recorder) Disc(geom.Vec, float64, scene.Colour)          { r.Discs++ }
func (r *Recorder) Ring(geom.Vec, float64, float64, scene.Colour) { r.Discs++ }
func (r *Recorder) Text(t Text)                                   { r.Texts = append(r.Texts, t) }
