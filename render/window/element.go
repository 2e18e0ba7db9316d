package window

import (
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/canvas"
)

// element is something that can be clicked. It is placed anew in every Update.
type element struct {
	Name  string // for the state dump and tests
	Rect  Rect
	Label string
	Hint  string // its key, drawn under the label where there is room
	On    bool   // what it stands for is chosen
	Off   bool   // it does nothing now
	Bare  bool   // drawn by its part of the window, here only for clicking
	Do    func()
}

// Sizes of letters, points.
const (
	small  = 12.0
	normal = 13.0
	large  = 16.0
)

// Grounds that letters stand on. Every pair of ground and letter colour used has a contrast of at least 4.5
// (contrast_test.go).
var (
	panel   = scene.Plate
	raised  = scene.Mix(scene.Plate, scene.Chalk, 0.10)
	hovered = scene.Mix(scene.Plate, scene.Chalk, 0.20)
	faint   = scene.Mix(scene.Plate, scene.Chalk, 0.55) // words of what does nothing now
	edge    = scene.Mix(scene.Plate, scene.Chalk, 0.22)
)

// chosen is the ground of what is chosen.
func (g *game) chosen() scene.Colour { return chosenGround(g.tint) }

func chosenGround(t scene.Tint) scene.Colour { return scene.Mix(scene.Plate, t.Accent, 0.25) }

// add places an element.
func (g *game) add(e element) { g.elements = append(g.elements, e) }

// under gives the topmost element at the pointer.
func (g *game) under() *element {
	for i := len(g.elements) - 1; i >= 0; i-- {
		if g.elements[i].Rect.Contains(g.hand.X, g.hand.Y) {
			return &g.elements[i]
		}
	}
	return nil
}

// drawButtons paints the elements that have a look of their own, with the grounds of rail and controls.
func (g *game) drawButtons() {
	over := g.under()
	for _, area := range []Rect{g.frame.Rail, g.frame.Controls, g.frame.Notebook.Top(tabHeight)} {
		content := noPrint.rect(area).number(g.density)
		for i := range g.elements {
			if e := &g.elements[i]; !e.Bare && area.Contains(e.Rect.X, e.Rect.Y) {
				content = content.rect(e.Rect).text(e.Label).flag(e.On).flag(e.Off).flag(e == over)
			}
		}
		g.drawStill(g.buttonStill(area), content, area, func() { g.drawButtonsIn(area, over) })
	}
}

// buttonStill is the kept picture of one of the three areas with buttons.
func (g *game) buttonStill(area Rect) *still {
	switch area {
	case g.frame.Rail:
		return &g.buttons[0]
	case g.frame.Controls:
		return &g.buttons[1]
	}
	return &g.buttons[2]
}

func (g *game) drawButtonsIn(area Rect, over *element) {
	g.pen.Rect(area.X, area.Y, area.W, area.H, panel)
	for i := range g.elements {
		if e := &g.elements[i]; !e.Bare && area.Contains(e.Rect.X, e.Rect.Y) {
			g.drawButton(e, e == over)
		}
	}
}

func (g *game) drawButton(e *element, over bool) {
	ground, letters := raised, scene.Chalk
	switch {
	case e.Off:
		ground, letters = panel, faint
	case e.On:
		ground = g.chosen()
	case over:
		ground = hovered
	}
	r := e.Rect
	g.pen.Rect(r.X, r.Y, r.W, r.H, ground)
	if e.On {
		g.pen.Rect(r.X, r.Y, 3, r.H, g.tint.Accent)
	}
	switch {
	case e.Hint == "":
		g.centred(e.Label, r, normal, e.On, letters)
		return
	case r.H < 38:
		row := Rect{X: r.X + 9, Y: r.Y, W: r.W - 14, H: r.H}
		used := g.words(e.Label, row, normal, e.On, letters)
		g.rightward(e.Hint, row.Rest(used+2), small, false, scene.Dust)
		return
	}
	g.centred(e.Label, Rect{X: r.X, Y: r.Y + 2, W: r.W, H: r.H * 0.55}, normal, e.On, letters)
	g.centred(e.Hint, Rect{X: r.X, Y: r.Y + r.H*0.5, W: r.W, H: r.H * 0.45}, small, false, scene.Dust)
}

// words writes one line in a rectangle, from the left, shortened where it does not fit, and gives its width.
func (g *game) words(s string, r Rect, size float64, bold bool, c scene.Colour) float64 {
	shown := g.fit(s, r.W, size, bold)
	g.pen.Write(shown, r.X, baseline(r, size), face(bold), size, c)
	return paint.Width(shown, size, bold)
}

func (g *game) centred(s string, r Rect, size float64, bold bool, c scene.Colour) {
	shown := g.fit(s, r.W, size, bold)
	g.pen.Write(shown, r.X+(r.W-paint.Width(shown, size, bold))/2, baseline(r, size), face(bold), size, c)
}

func (g *game) rightward(s string, r Rect, size float64, bold bool, c scene.Colour) {
	shown := g.fit(s, r.W, size, bold)
	g.pen.Write(shown, r.Right()-paint.Width(shown, size, bold), baseline(r, size), face(bold), size, c)
}

// mono writes one line of the mono face.
func (g *game) mono(s string, r Rect, size float64, bold bool, c scene.Colour) {
	kind := canvas.Mono
	if bold {
		kind = canvas.MonoBold
	}
	g.pen.Write(s, r.X, baseline(r, size), kind, size, c)
}

// fit shortens words and notes that it did.
func (g *game) fit(s string, width, size float64, bold bool) string {
	s = paint.Clean(s)
	shown := paint.Fit(s, width, size, bold)
	if shown != s {
		g.cut = append(g.cut, s)
	}
	return shown
}

// baseline centres letters in a rectangle: half of the height of capitals, 0.72 em, below the middle.
func baseline(r Rect, size float64) float64 { return r.Y + r.H/2 + 0.36*size }

func face(bold bool) canvas.Type {
	if bold {
		return canvas.Bold
	}
	return canvas.Plain
}
