// Package canvas draws with Ebiten: filled shapes, lines and text in logical points, smoothed at the edges, gathered
// into few draw calls. Pen is the window's paint.Painter; it knows nothing of fields or robots.
//
// Points: x right, y down, in units of the window's own measure; Scale turns them into pixels.
package canvas

import (
	"image"
	"image/color"
	"math"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// Pen draws onto one image. Shapes are gathered and handed over by Flush, which text and clipping call themselves.
type Pen struct {
	Scale float64 // pixels a logical point

	whole    *ebiten.Image // what Begin was given
	target   *ebiten.Image // whole or the part that Clip chose
	white    *ebiten.Image
	vertices []ebiten.Vertex
	indices  []uint32
	faces    faces
	scratch  []geom.Vec
	round    []geom.Vec
	cross    []row
	tones    tones
}

// Tone turns a colour into what is shown for it.
type Tone func(scene.Colour) scene.Colour

// tones keeps what a tone makes of each colour.
type tones struct {
	tone     Tone // nil: every colour is shown as it is
	made     map[scene.Colour]scene.Colour
	of, last scene.Colour // the latest
}

// SetTone shows all that is drawn from now on in other colours; nil: in its own.
func (p *Pen) SetTone(tone Tone) { p.tones = tones{tone: tone, made: map[scene.Colour]scene.Colour{}} }

func (t *tones) turn(c scene.Colour) scene.Colour {
	switch {
	case t.tone == nil:
		return c
	case c == t.of:
		return t.last
	}
	made, ok := t.made[c]
	if !ok {
		made = t.tone(c)
		t.made[c] = made
	}
	t.of, t.last = c, made
	return made
}

var _ paint.Painter = (*Pen)(nil)

// NewPen makes a pen with the embedded fonts.
func NewPen() (*Pen, error) {
	faces, err := loadFaces()
	if err != nil {
		return nil, err
	}
	block := ebiten.NewImage(3, 3)
	block.Fill(color.White)
	inner := image.Rect(1, 1, 2, 2) // a border keeps neighbours of the atlas out of the sample
	return &Pen{Scale: 1, faces: faces, white: block.SubImage(inner).(*ebiten.Image)}, nil
}

// Begin starts a picture.
func (p *Pen) Begin(target *ebiten.Image, scale float64) {
	p.whole, p.target, p.Scale = target, target, scale
}

// Target is the whole picture that Begin was given.
func (p *Pen) Target() *ebiten.Image { return p.whole }

// Flush hands over what was gathered.
func (p *Pen) Flush() {
	if len(p.indices) == 0 {
		return
	}
	options := ebiten.DrawTrianglesOptions{ColorScaleMode: ebiten.ColorScaleModePremultipliedAlpha}
	p.target.DrawTriangles32(p.vertices, p.indices, p.white, &options)
	p.vertices, p.indices = p.vertices[:0], p.indices[:0]
}

// Clip restricts drawing to a rectangle, until the next Clip or Unclip.
func (p *Pen) Clip(x, y, width, height float64) {
	p.Flush()
	part := image.Rect(int(math.Floor(x*p.Scale)), int(math.Floor(y*p.Scale)), int(math.Ceil((x+width)*p.Scale)),
		int(math.Ceil((y+height)*p.Scale)))
	p.target = p.whole.SubImage(part).(*ebiten.Image)
}

// Unclip allows the whole picture again.
func (p *Pen) Unclip() {
	p.Flush()
	p.target = p.whole
}

// vertex adds a corner at a pixel position with a share of the colour's opacity, and gives its index.
func (p *Pen) vertex(x, y float64, c scene.Colour, cover float64) uint32 {
	c = p.tones.turn(c)
	alpha := float32(cover) * float32(c.A) / 255
	p.vertices = append(p.vertices, ebiten.Vertex{
		DstX: float32(x), DstY: float32(y), SrcX: 1, SrcY: 1,
		ColorR: float32(c.R) / 255 * alpha, ColorG: float32(c.G) / 255 * alpha, ColorB: float32(c.B) / 255 * alpha,
		ColorA: alpha,
	})
	return uint32(len(p.vertices) - 1)
}

func (p *Pen) triangle(a, b, c uint32) { p.indices = append(p.indices, a, b, c) }

func (p *Pen) quad(a, b, c, d uint32) { p.indices = append(p.indices, a, b, c, a, c, d) }
