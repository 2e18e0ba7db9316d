// Package webpage writes the report of a study or of one rehearsal: one HTML file that needs no network and no script, to
// be read on a phone, on a desk and on paper.
package webpage

import (
	"fmt"
	"html"
	"strconv"
	"strings"

	"chalkfield/internal/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// ink is a paint.Painter that writes SVG elements. Letters are text, so that the file stays small and can be searched.
type ink struct{ out *strings.Builder }

var _ paint.Painter = ink{}

func (k ink) Fill(corners []geom.Vec, c scene.Colour) {
	fmt.Fprintf(k.out, `<path d="%sz" %s/>`, pathOf(corners), fill(c))
}

func (k ink) Stroke(lines [][]geom.Vec, closed bool, width float64, c scene.Colour) {
	end := ""
	if closed {
		end = "z"
	}
	k.out.WriteString(`<path d="`)
	for _, line := range lines {
		k.out.WriteString(pathOf(line) + end)
	}
	fmt.Fprintf(k.out, `" fill="none" stroke-width="%s" %s/>`, short(width), paintOf("stroke", c))
}

func (k ink) Disc(at geom.Vec, radius float64, c scene.Colour) {
	fmt.Fprintf(k.out, `<circle cx="%s" cy="%s" r="%s" %s/>`, short(at.X), short(at.Y), short(radius), fill(c))
}

func (k ink) Ring(at geom.Vec, radius, width float64, c scene.Colour) {
	fmt.Fprintf(k.out, `<circle cx="%s" cy="%s" r="%s" fill="none" stroke-width="%s" %s/>`, short(at.X), short(at.Y), short(radius), short(width), paintOf("stroke", c))
}

func (k ink) Text(t paint.Text) {
	weight := ""
	if t.Bold {
		weight = ` font-weight="700"`
	}
	// textLength keeps the words as wide as they were measured, whatever font the reader has.
	fmt.Fprintf(k.out, `<text x="%s" y="%s" font-size="%s" textLength="%s" lengthAdjust="spacingAndGlyphs"%s %s>%s</text>`,
		short(t.At.X), short(t.At.Y), short(t.Size), short(paint.Width(t.Words, t.Size, t.Bold)), weight, fill(t.Colour), html.EscapeString(t.Words))
}

// pathOf is a polyline in the language of SVG, to a tenth of a pixel.
func pathOf(points []geom.Vec) string {
	text := &strings.Builder{}
	for i, v := range points {
		text.WriteString(map[bool]string{true: "M", false: "L"}[i == 0])
		text.WriteString(short(v.X) + " " + short(v.Y))
	}
	return text.String()
}

func short(x float64) string {
	text := strconv.FormatFloat(x, 'f', 1, 64)
	return strings.TrimSuffix(text, ".0")
}

func fill(c scene.Colour) string { return paintOf("fill", c) }

func paintOf(what string, c scene.Colour) string {
	text := fmt.Sprintf(`%s="#%02x%02x%02x"`, what, c.R, c.G, c.B)
	if c.A != 0xff {
		text += fmt.Sprintf(` %s-opacity="%.2f"`, what, float64(c.A)/255)
	}
	return text
}
