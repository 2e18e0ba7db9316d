package picture

import (
	"image"
	"math"

	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// Moment is one moment of a run without lists beside it, as high at any time of the run: title, field, score and time.
func Moment(s *scene.Scene, width int) Drawing { return Of(withoutLists(s), width) }

// withoutLists is a scene with the score in the line of the time. The scene keeps its own furniture.
func withoutLists(s *scene.Scene) *scene.Scene {
	bare := *s
	f := &bare.Furniture
	f.Time = f.Score() + ",  " + f.Time
	f.Scored, f.Running, f.Legend, f.Events = nil, "", nil, nil
	return &bare
}

// Moments paints many moments of one run, one after another, and what never changes only once.
type Moments struct {
	page   *Page
	raster *raster
	ink    paint.Painter // on the raster, in the theme's colours
	all    *image.RGBA
	still  []uint8     // its pixels before anything has moved
	field  *image.RGBA // its part where things move
	drawer paint.Drawer
}

// NewMoments prepares pictures so many pixels wide, in a theme's colours, of the run that a scene shows.
func NewMoments(s *scene.Scene, width int, theme paint.Theme) (*Moments, error) {
	bare := withoutLists(s)
	bare.Furniture.Time = ""
	bare.Layers, _ = apartFromGround(s.Layers)
	drawing, page := laid(bare, width)
	drawing = drawing.In(theme)
	board, err := NewBoard(drawing, width)
	if err != nil {
		return nil, err
	}
	m := &Moments{page: page, raster: board.raster, ink: theme.On(board.raster), all: board.Paint(drawing)}
	m.still = append([]uint8(nil), m.all.Pix...)
	pixel := func(x float64) int { return int(math.Round(x * board.raster.ratio)) }
	area := page.View.Area
	m.field = m.all.SubImage(image.Rect(pixel(area.Left), pixel(area.Top), pixel(area.Right),
		pixel(area.Bottom))).(*image.RGBA)
	return m, nil
}

// apartFromGround parts layers into those that never change and the rest.
func apartFromGround(layers []scene.Layer) (ground, rest []scene.Layer) {
	for i, layer := range layers {
		if layer.Overlay > scene.Walls {
			return layers[:i], layers[i:]
		}
	}
	return layers, nil
}

// Paint paints a moment of the run, as the drawing that Moment gives looks. The next Paint changes the image.
func (m *Moments) Paint(s *scene.Scene) *image.RGBA {
	bare := withoutLists(s)
	copy(m.all.Pix, m.still)
	moving := *s
	_, moving.Layers = apartFromGround(s.Layers)
	m.raster.to = m.field
	m.drawer.Items(m.ink, &moving, m.page.View)
	m.drawer.Labels(m.ink, s, m.page.View)
	m.raster.to = m.all
	m.page.scene = bare
	m.page.drawTime(m.ink)
	return m.all
}
