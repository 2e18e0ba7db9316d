package window

import (
	"math"

	"chalkfield/render/scene"
	"chalkfield/render/window/canvas"
)

// still keeps the drawing of a part of the window that seldom changes, so that it need not be made anew in every frame.
type still struct {
	drawing canvas.Drawing
	kept    print // what it shows
	has     bool
}

// print tells one content from another: a hash over everything that the drawing depends on (FNV-1a, 64 bits, from
// memory).
type print uint64

const noPrint print = 14695981039346656037

func (p print) word(w uint64) print {
	for range 8 {
		p = (p ^ print(w&0xff)) * 1099511628211
		w >>= 8
	}
	return p
}

func (p print) numbers(list ...float64) print {
	for _, x := range list {
		p = p.word(math.Float64bits(x))
	}
	return p
}

func (p print) ints(list ...int) print {
	for _, n := range list {
		p = p.word(uint64(n))
	}
	return p
}

func (p print) rect(r Rect) print { return p.numbers(r.X, r.Y, r.W, r.H) }

func (p print) text(s string) print {
	for i := range len(s) {
		p = (p ^ print(s[i])) * 1099511628211
	}
	return p.word(uint64(len(s)))
}

func (p print) flag(on bool) print {
	if on {
		return p.word(1)
	}
	return p.word(2)
}

func (p print) colour(c scene.Colour) print {
	return p.word(uint64(c.R)<<24 | uint64(c.G)<<16 | uint64(c.B)<<8 | uint64(c.A))
}

// items takes in shapes that move: where each begins, how it is filled.
func (p print) items(layers []scene.Layer) print {
	for i := range layers {
		p = p.word(uint64(layers[i].Overlay))
		for k := range layers[i].Items {
			item := &layers[i].Items[k]
			p = p.numbers(item.At.X, item.At.Y, item.Heading, item.Radius.Metres)
			p = p.colour(item.Fill)
			if len(item.Points) > 1 {
				p = p.numbers(item.Points[0].X, item.Points[0].Y, item.Points[1].X, item.Points[1].Y)
			}
		}
	}
	return p
}

// drawStill draws a part of the window, by way of its kept drawing where that shows the same.
func (l *look) drawStill(s *still, content print, draw func()) {
	content = content.numbers(l.density).colour(l.accent).text(l.dress)
	if s.has && s.kept == content {
		l.pen.Again(&s.drawing)
		return
	}
	l.pen.Keep(&s.drawing, draw)
	s.kept, s.has = content, true
	l.pen.Again(&s.drawing)
}
