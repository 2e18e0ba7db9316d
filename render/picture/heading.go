package picture

import (
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// heading is the title over what else determined the record.
type heading struct{ title, sub []string }

const (
	titleSize, titleLine = 21.0, 27.0
	subSize, subLine     = 13.0, 18.0
)

func newHeading(f *scene.Furniture, width float64) *heading {
	return &heading{
		title: paint.Wrap(f.Title, width, titleSize, true, 2),
		sub:   paint.Wrap(f.Subtitle, width, subSize, false, 4),
	}
}

func (h *heading) height() float64 {
	return float64(len(h.title))*titleLine + float64(len(h.sub))*subLine
}

func (h *heading) draw(p paint.Painter, _ *paint.Drawer, box paint.Box) {
	y := box.Top
	for _, line := range h.title {
		words(p, line, box.Left, y+20, titleSize, true, scene.Chalk)
		y += titleLine
	}
	for _, line := range h.sub {
		words(p, line, box.Left, y+13, subSize, false, scene.Dust)
		y += subLine
	}
}
