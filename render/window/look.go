package window

import (
	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/canvas"
)

// look is how the window draws: with which pen and colours, and words so that they fit.
type look struct {
	theme
	pen     *canvas.Pen
	drawer  paint.Drawer
	themed  *fields.Field // the field that it is for
	dress   string        // the theme that the pen has
	density float64       // pixels a logical point
	cut     []string      // texts of this frame that had to be shortened, for the state dump
}

// Sizes of letters, points.
const (
	small  = 12.0
	normal = 13.0
	large  = 16.0
)

// theme is the window's colours. Letters stand on the grounds; every pair that is used has a contrast of at least 4.5
// (contrast_test.go).
type theme struct {
	accent                         scene.Colour // for the field shown
	panel, raised, hovered, chosen scene.Colour // grounds; chosen is that of what is chosen
	faint                          scene.Colour // words of what does nothing now
	edge                           scene.Colour
	pale                           scene.Colour // the run before
}

func newTheme(accent scene.Colour) theme {
	pale := scene.Dust
	pale.A = 190
	towards := func(c scene.Colour, share float64) scene.Colour { return scene.Mix(scene.Plate, c, share) }
	return theme{accent: accent, panel: scene.Plate, raised: towards(scene.Chalk, 0.10),
		hovered: towards(scene.Chalk, 0.20), chosen: towards(accent, 0.25), faint: towards(scene.Chalk, 0.55),
		edge: towards(scene.Chalk, 0.22), pale: pale}
}

func (l *look) fill(r Rect, c scene.Colour) { l.pen.Rect(r.X, r.Y, r.W, r.H, c) }
func (l *look) clip(r Rect)                 { l.pen.Clip(r.X, r.Y, r.W, r.H) }

// words writes one line in a rectangle, from the left, shortened where it does not fit, and gives its width.
func (l *look) words(s string, r Rect, size float64, bold bool, c scene.Colour) float64 {
	shown := l.fit(s, r.W, size, bold)
	l.pen.Write(shown, r.X, baseline(r, size), face(bold), size, c)
	return paint.Width(shown, size, bold)
}

// boxed writes small lines in a box with a rim.
func (l *look) boxed(lines []string, box Rect, ground, rim scene.Colour) {
	l.pen.Rect(box.X-1, box.Y-1, box.W+2, box.H+2, rim)
	l.fill(box, ground)
	row := Rect{X: box.X + 8, Y: box.Y + 3, W: box.W - 12, H: footRow}
	for _, line := range lines {
		l.words(line, row, small, false, scene.Chalk)
		row.Y += footRow
	}
}

func (l *look) centred(s string, r Rect, size float64, bold bool, c scene.Colour) {
	shown := l.fit(s, r.W, size, bold)
	l.pen.Write(shown, r.X+(r.W-paint.Width(shown, size, bold))/2, baseline(r, size), face(bold), size, c)
}

func (l *look) rightward(s string, r Rect, size float64, bold bool, c scene.Colour) {
	shown := l.fit(s, r.W, size, bold)
	l.pen.Write(shown, r.Right()-paint.Width(shown, size, bold), baseline(r, size), face(bold), size, c)
}

// mono writes one line of the mono face.
func (l *look) mono(s string, r Rect, size float64, bold bool, c scene.Colour) {
	kind := canvas.Mono
	if bold {
		kind = canvas.MonoBold
	}
	l.pen.Write(s, r.X, baseline(r, size), kind, size, c)
}

func (l *look) rightMono(s string, r Rect, c scene.Colour) {
	width := float64(len(s)) * canvas.MonoAdvance(codeSize, l.density)
	l.mono(s, Rect{X: r.Right() - width, Y: r.Y, W: width, H: r.H}, codeSize, false, c)
}

// fit shortens words and notes that it did.
func (l *look) fit(s string, width, size float64, bold bool) string {
	s = paint.Clean(s)
	shown := paint.Fit(s, width, size, bold)
	if shown != s {
		l.cut = append(l.cut, s)
	}
	return shown
}

func (l *look) widthOf(words string) float64 { return paint.Width(words, normal, false) }

// baseline centres letters in a rectangle: half of the height of capitals, 0.72 em, below the middle.
func baseline(r Rect, size float64) float64 { return r.Y + r.H/2 + 0.36*size }

func face(bold bool) canvas.Type {
	if bold {
		return canvas.Bold
	}
	return canvas.Plain
}

func pointAt(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
