package paint

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
)

// View says where on the pixels the field is.
type View struct {
	Scale  float64  // pixels per metre
	Origin geom.Vec // pixel of the field's origin
	Area   Box      // what may be drawn on
}

// FitView is the view that shows the extents as large as the area allows, in its middle.
func FitView(low, high geom.Vec, area Box) View {
	width, height := math.Max(high.X-low.X, 1e-6), math.Max(high.Y-low.Y, 1e-6)
	scale := math.Max(math.Min(area.Width()/width, area.Height()/height), 1e-9)
	return View{
		Scale: scale,
		Origin: geom.Vec{
			X: (area.Left+area.Right)/2 - scale*(low.X+high.X)/2,
			Y: (area.Top+area.Bottom)/2 + scale*(low.Y+high.Y)/2,
		},
		Area: area,
	}
}

// Pixel is where a place of the field is drawn.
func (v View) Pixel(p geom.Vec) geom.Vec {
	return geom.Vec{X: v.Origin.X + v.Scale*p.X, Y: v.Origin.Y - v.Scale*p.Y}
}

// Place is the place of the field that a pixel shows: the inverse of Pixel.
func (v View) Place(pixel geom.Vec) geom.Vec {
	return geom.Vec{X: (pixel.X - v.Origin.X) / v.Scale, Y: (v.Origin.Y - pixel.Y) / v.Scale}
}

// Length is a size in pixels.
func (v View) Length(s scene.Size) float64 { return s.Metres*v.Scale + s.Pixels }
