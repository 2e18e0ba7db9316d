package picture

import (
	"image"
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// raster is a paint.Painter on an image.
type raster struct {
	to    *image.RGBA
	ratio float64 // pixels of the image that make an everyday one
	faces map[faceKey]font.Face
	shape outline
	fill  vector.Rasterizer
}

type faceKey struct {
	size float64
	bold bool
}

func newRaster(width, height int, ratio float64) *raster {
	return &raster{to: image.NewRGBA(image.Rect(0, 0, width, height)), ratio: ratio, faces: map[faceKey]font.Face{}}
}

func (r *raster) Fill(corners []geom.Vec, c scene.Colour) {
	r.shape.reset()
	r.shape.polygon(corners, r.ratio)
	r.ink(c)
}

func (r *raster) Stroke(lines [][]geom.Vec, closed bool, width float64, c scene.Colour) {
	r.shape.reset()
	for _, line := range lines {
		r.shape.stroke(line, closed, width/2, r.ratio)
	}
	r.ink(c)
}

func (r *raster) Disc(at geom.Vec, radius float64, c scene.Colour) {
	r.shape.reset()
	r.shape.circle(at, radius, r.ratio)
	r.ink(c)
}

func (r *raster) Ring(at geom.Vec, radius, width float64, c scene.Colour) {
	r.shape.reset()
	r.shape.circle(at, radius+width/2, r.ratio)
	if inner := radius - width/2; inner > 0 {
		r.shape.circle(at, inner, r.ratio)
		r.shape.turnLast()
	}
	r.ink(c)
}

// ink fills the outline. Only its part of the image is looked at, so that a small shape costs little.
func (r *raster) ink(c scene.Colour) {
	part := r.shape.bounds().Intersect(r.to.Rect)
	if part.Empty() {
		return
	}
	r.fill.Reset(part.Dx(), part.Dy())
	from := 0
	for _, end := range r.shape.ends {
		for i, v := range r.shape.points[from:end] {
			x, y := float32(v.X-float64(part.Min.X)), float32(v.Y-float64(part.Min.Y))
			if i == 0 {
				r.fill.MoveTo(x, y)
			} else {
				r.fill.LineTo(x, y)
			}
		}
		r.fill.ClosePath()
		from = end
	}
	r.fill.Draw(r.to, part, image.NewUniform(c), image.Point{})
}

// Text stands letter by letter as paint.Width measures: the fonts have no kerning, and no letter is moved to whole
// pixels.
func (r *raster) Text(t paint.Text) {
	key := faceKey{t.Size * r.ratio, t.Bold}
	face, known := r.faces[key]
	if !known {
		face = paint.Face(key.size, key.bold)
		r.faces[key] = face
	}
	at := fixed.Point26_6{X: fixed.Int26_6(math.Round(t.At.X * r.ratio * 64)),
		Y: fixed.Int26_6(math.Round(t.At.Y * r.ratio * 64))}
	words := font.Drawer{Dst: r.to, Src: image.NewUniform(t.Colour), Face: face, Dot: at}
	words.DrawString(t.Words)
}
