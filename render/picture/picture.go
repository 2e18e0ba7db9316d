// Package picture writes a scene as a PNG or an SVG file. Both come from one painter; an SVG holds its letters as
// outlines, so that it opens the same everywhere.
package picture

import (
	"bufio"
	"fmt"
	"html"
	"image/png"
	"io"
	"math"
	"path/filepath"
	"strings"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/rasterizer"
	"github.com/tdewolff/canvas/renderers/svg"

	"chalkfield/internal/wholefile"
	"chalkfield/render/scene"
	"chalkfield/render/scene/page"
	"chalkfield/render/scene/paint"
)

// The widths that pictures may have, pixels.
const (
	Narrowest = 200
	Widest    = 8000
)

// Letters keep their size on pages between these widths; narrower and wider pictures show the page smaller or larger.
const (
	narrowPage = 480.0
	widePage   = 1200.0
)

// mostPixels bounds a picture's area: beyond it a tall one is refused rather than filling the memory.
const mostPixels = 120e6

// WritePNG writes the scene as a PNG so many pixels wide; the height follows from the content. The bytes depend on the
// scene and the width alone.
func WritePNG(w io.Writer, s *scene.Scene, width int) error {
	drawing, ratio, err := draw(s, width)
	if err != nil {
		return err
	}
	img := rasterizer.Draw(drawing, canvas.DPMM(ratio), canvas.LinearColorSpace{})
	return png.Encode(w, img)
}

// WriteSVG writes the scene as an SVG so many pixels wide.
func WriteSVG(w io.Writer, s *scene.Scene, width int) error {
	drawing, ratio, err := draw(s, width)
	if err != nil {
		return err
	}
	buffered := bufio.NewWriter(w)
	out := svg.New(buffered, drawing.W*ratio, drawing.H*ratio, &svg.Options{SizeUnits: "px"})
	if _, err := fmt.Fprintf(buffered, "<title>%s</title>", html.EscapeString(paint.Clean(s.Furniture.Title))); err != nil {
		return err
	}
	drawing.RenderViewTo(out, canvas.Identity.Scale(ratio, ratio))
	if err := out.Close(); err != nil {
		return err
	}
	return buffered.Flush()
}

// draw lays the page out and paints it on a canvas whose unit is an everyday pixel; ratio is how many of the picture's
// pixels make one.
func draw(s *scene.Scene, width int) (*canvas.Canvas, float64, error) {
	if width < Narrowest || width > Widest {
		return nil, 0, fmt.Errorf("a picture of %d pixels: write a width from %d to %d", width, Narrowest, Widest)
	}
	across := math.Max(narrowPage, math.Min(float64(width), widePage))
	ratio := float64(width) / across
	p := page.New(s, across)
	if pixels := float64(width) * p.Height * ratio; pixels > mostPixels {
		return nil, 0, fmt.Errorf("a picture of %d x %.0f pixels is too large: write a smaller width", width, p.Height*ratio)
	}
	drawing := canvas.New(p.Width, math.Round(p.Height*ratio)/ratio)
	p.Draw(newPainter(drawing))
	return drawing, ratio, nil
}

// WriteFile writes the picture in the format of the path's extension, .png or .svg. A file that is there is replaced
// only once the new one is complete.
func WriteFile(path string, s *scene.Scene, width int) error {
	write, err := writerFor(path)
	if err != nil {
		return err
	}
	return wholefile.Write(path, func(w io.Writer) error { return write(w, s, width) })
}

func writerFor(path string) (func(io.Writer, *scene.Scene, int) error, error) {
	switch extension := strings.ToLower(filepath.Ext(path)); extension {
	case ".png":
		return WritePNG, nil
	case ".svg":
		return WriteSVG, nil
	case "":
		return nil, fmt.Errorf("%s: a picture needs the extension .png or .svg", path)
	default:
		return nil, fmt.Errorf("%s: cannot write %s pictures: use .png or .svg", path, extension)
	}
}
