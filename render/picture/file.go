// Package picture lays scenes and sweeps out as pictures and writes them. It has two of the three painters, one for
// images and one for SVG (the window's is render/window/canvas).
package picture

import (
	"fmt"
	"image"
	"image/draw"
	"image/png"
	"io"
	"math"
	"path/filepath"
	"strings"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/render/scene"
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

// Drawing is what a picture shows, in everyday pixels.
type Drawing struct {
	Title         string
	Width, Height float64
	Ground        scene.Colour
	Draw          func(paint.Painter)
}

// In is the drawing in a theme's colours.
func (d Drawing) In(theme paint.Theme) Drawing {
	if !theme.Own() {
		draw := d.Draw
		d.Ground, d.Draw = theme.Tone(d.Ground), func(to paint.Painter) { draw(theme.On(to)) }
	}
	return d
}

// Of is a scene with its furniture, as a drawing that suits a picture so many pixels wide.
func Of(s *scene.Scene, width int) Drawing {
	d, _ := laid(s, width)
	return d
}

// laid is the drawing of a scene's page, and the page.
func laid(s *scene.Scene, width int) (Drawing, *Page) {
	p := NewPage(s, math.Max(narrowPage, math.Min(float64(width), widePage)))
	return Drawing{Title: s.Furniture.Title, Width: p.Width, Height: p.Height, Ground: s.Ground, Draw: p.Draw}, p
}

// WriteFile writes a drawing so many pixels wide in the format of the path's extension, .png or .svg. A file that is
// there is replaced only once the new one is complete.
func WriteFile(path string, d Drawing, width int) error {
	if err := MayBe(path); err != nil {
		return err
	}
	write := WritePNG
	if strings.EqualFold(filepath.Ext(path), ".svg") {
		write = WriteSVG
	}
	return atomicfile.Write(path, func(w io.Writer) error { return write(w, d, width) })
}

// MayBe tells what is wrong with a picture's name.
func MayBe(path string) error {
	switch extension := strings.ToLower(filepath.Ext(path)); extension {
	case ".png", ".svg":
		return nil
	case "":
		return fmt.Errorf("%s: a picture needs the extension .png or .svg", path)
	default:
		return fmt.Errorf("%s: cannot write %s pictures: use .png or .svg", path, extension)
	}
}

// WritePNG writes a drawing as a PNG so many pixels wide; the height follows. The bytes depend on these two alone.
func WritePNG(w io.Writer, d Drawing, width int) error {
	board, err := NewBoard(d, width)
	if err != nil {
		return err
	}
	return png.Encode(w, board.Paint(d))
}

// Board is an image on which drawings of one size are painted, one after another.
type Board struct{ raster *raster }

// NewBoard is a board for a drawing and others as large, so many pixels wide.
func NewBoard(d Drawing, width int) (*Board, error) {
	ratio, height, err := d.size(width)
	if err != nil {
		return nil, err
	}
	return &Board{newRaster(width, height, ratio)}, nil
}

// Paint paints a drawing over what the board shows. The image is the board's own: the next Paint changes it.
func (b *Board) Paint(d Drawing) *image.RGBA {
	draw.Draw(b.raster.to, b.raster.to.Rect, image.NewUniform(d.Ground), image.Point{}, draw.Src)
	d.Draw(b.raster)
	return b.raster.to
}

// WriteSVG writes a drawing as an SVG so many pixels wide.
func WriteSVG(w io.Writer, d Drawing, width int) error {
	_, height, err := d.size(width)
	if err != nil {
		return err
	}
	var s SVG
	attributes := fmt.Sprintf(`xmlns="http://www.w3.org/2000/svg" width="%d" height="%d"`, width, height)
	s.Begin(d.Width, d.Height, attributes, d.Title, d.Ground)
	d.Draw(&s)
	s.End()
	_, err = io.WriteString(w, s.String())
	return err
}

// size is how many of a picture's pixels make an everyday one, and its height, a whole number of pixels.
func (d Drawing) size(width int) (ratio float64, height int, err error) {
	if width < Narrowest || width > Widest {
		return 0, 0, fmt.Errorf("a picture of %d pixels: write a width from %d to %d", width, Narrowest, Widest)
	}
	ratio = float64(width) / d.Width
	tall := math.Round(d.Height * ratio)
	if float64(width)*tall > mostPixels {
		return 0, 0, fmt.Errorf("a picture of %d x %.0f pixels is too large: write a smaller width", width, tall)
	}
	return ratio, int(tall), nil
}
