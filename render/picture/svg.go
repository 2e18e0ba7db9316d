package picture

import (
	"fmt"
	"html"
	"strconv"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// fonts are the families that letters are shown in: the one that was measured, then ones of about its width that
// computers have.
const fonts = `Go, Arial, Helvetica, 'Liberation Sans', sans-serif`

// SVG is a paint.Painter that writes the elements of one or more SVG pictures. Letters stay text, which can be searched
// and read aloud. The zero SVG is ready.
type SVG struct{ strings.Builder }

var _ paint.Painter = (*SVG)(nil)

// Begin opens a picture of a size in everyday pixels, with a ground and further attributes of its element.
func (s *SVG) Begin(width, height float64, attributes, title string, ground scene.Colour) {
	fmt.Fprintf(s, `<svg %s viewBox="0 0 %s %s" role="img" aria-label="%s" font-family="%s" stroke-linecap="round" `+
		`stroke-linejoin="round">`,
		attributes, Short(width), Short(height), html.EscapeString(paint.Clean(title)), fonts)
	if ground.A != 0 {
		fmt.Fprintf(s, `<rect width="100%%" height="100%%" %s/>`, colour("fill", ground))
	}
}

// End closes it.
func (s *SVG) End() { s.WriteString("</svg>") }

func (s *SVG) Fill(corners []geom.Vec, c scene.Colour) {
	s.path([][]geom.Vec{corners}, true)
	fmt.Fprintf(s, `%s/>`, colour("fill", c))
}

func (s *SVG) Stroke(lines [][]geom.Vec, closed bool, width float64, c scene.Colour) {
	s.path(lines, closed)
	fmt.Fprintf(s, `fill="none" stroke-width="%s" %s/>`, Short(width), colour("stroke", c))
}

// path begins a path's element, without its colours.
func (s *SVG) path(lines [][]geom.Vec, closed bool) {
	s.WriteString(`<path d="`)
	for _, line := range lines {
		for i, v := range line {
			letter := "L"
			if i == 0 {
				letter = "M"
			}
			s.WriteString(letter + Short(v.X) + " " + Short(v.Y))
		}
		if closed {
			s.WriteString("z")
		}
	}
	s.WriteString(`" `)
}

func (s *SVG) Disc(at geom.Vec, radius float64, c scene.Colour) {
	fmt.Fprintf(s, `<circle cx="%s" cy="%s" r="%s" %s/>`, Short(at.X), Short(at.Y), Short(radius), colour("fill", c))
}

func (s *SVG) Ring(at geom.Vec, radius, width float64, c scene.Colour) {
	fmt.Fprintf(s, `<circle cx="%s" cy="%s" r="%s" fill="none" stroke-width="%s" %s/>`,
		Short(at.X), Short(at.Y), Short(radius), Short(width), colour("stroke", c))
}

// Text has the length that was measured, whatever font the reader has.
func (s *SVG) Text(t paint.Text) {
	if t.Words == "" {
		return
	}
	weight := ""
	if t.Bold {
		weight = ` font-weight="700"`
	}
	fmt.Fprintf(s, `<text x="%s" y="%s" font-size="%s" textLength="%s" lengthAdjust="spacingAndGlyphs"%s %s>%s</text>`,
		Short(t.At.X), Short(t.At.Y),
		Short(t.Size), Short(paint.Width(t.Words, t.Size, t.Bold)), weight, colour("fill", t.Colour),
		html.EscapeString(t.Words))
}

// Short writes a number to a tenth: of a pixel, that is finer than an eye sees.
func Short(x float64) string {
	text := strconv.FormatFloat(x, 'f', 1, 64)
	return strings.TrimSuffix(text, ".0")
}

func colour(what string, c scene.Colour) string {
	text := fmt.Sprintf(`%s="#%02x%02x%02x"`, what, c.R, c.G, c.B)
	if c.A != 0xff {
		text += fmt.Sprintf(` %s-opacity="%.2f"`, what, float64(c.A)/255)
	}
	return text
}
