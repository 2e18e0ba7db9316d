package picture

import (
	"github.com/tdewolff/canvas"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"chalkfield/render/scene/paint"
)

// letters turns words into the outlines of the font that paint measures, letter by letter with the same widths, so that
// what was measured is what is drawn. (The canvas's own text does not find this font's letters: measured, every one came
// out with the width of the missing one.)
type letters struct {
	regular, bold *sfnt.Font
	buffer        sfnt.Buffer
}

// newLetters reads the embedded fonts. One that does not parse is our own fault.
func newLetters() *letters {
	parse := func(file []byte) *sfnt.Font {
		font, err := sfnt.Parse(file)
		if err != nil {
			panic("picture: embedded font: " + err.Error())
		}
		return font
	}
	return &letters{regular: parse(paint.Regular()), bold: parse(paint.Bold())}
}

// outline is the words' outline on a canvas of a height.
func (l *letters) outline(t paint.Text, height float64) *canvas.Path {
	from := l.regular
	if t.Bold {
		from = l.bold
	}
	em := fixed.I(int(from.UnitsPerEm()))
	scale := t.Size / (float64(em) / 64) // pixels per font unit
	path := &canvas.Path{}
	x := t.At.X
	for _, r := range t.Words {
		glyph, err := from.GlyphIndex(&l.buffer, r)
		if err != nil {
			continue
		}
		if segments, err := from.LoadGlyph(&l.buffer, glyph, em, nil); err == nil {
			addGlyph(path, segments, x, height-t.At.Y, scale)
		}
		if advance, err := from.GlyphAdvance(&l.buffer, glyph, em, font.HintingNone); err == nil {
			x += float64(advance) / 64 * scale
		}
	}
	return path
}

// addGlyph adds one letter's contours, its origin at a place; glyphs have y down, the canvas up.
func addGlyph(path *canvas.Path, segments sfnt.Segments, x, y, scale float64) {
	point := func(p fixed.Point26_6) (float64, float64) {
		return x + float64(p.X)/64*scale, y - float64(p.Y)/64*scale
	}
	open := false
	for _, s := range segments {
		ax, ay := point(s.Args[0])
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			if open {
				path.Close()
			}
			open = true
			path.MoveTo(ax, ay)
		case sfnt.SegmentOpLineTo:
			path.LineTo(ax, ay)
		case sfnt.SegmentOpQuadTo:
			bx, by := point(s.Args[1])
			path.QuadTo(ax, ay, bx, by)
		case sfnt.SegmentOpCubeTo:
			bx, by := point(s.Args[1])
			cx, cy := point(s.Args[2])
			path.CubeTo(ax, ay, bx, by, cx, cy)
		}
	}
	if open {
		path.Close()
	}
}
