// Package canvas draws with Ebiten: filled shapes, lines and text in logical points, smoothed at the edges, gathered
// into few draw calls. Pen is the window's paint.Painter; it knows nothing of fields or robots.
//
// Points: x right, y down, in units of the window's own measure; Scale turns them into pixels.
package canvas

import (
	"hash/maphash"
	"image"
	"math"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// Pen draws onto one image. Shapes are gathered and handed over by Flush, which text and clipping call themselves; or
// all is held back until End, to draw of it only what has changed.
type Pen struct {
	Scale float64 // pixels a logical point

	Drawing                // of this frame, as far as it is not drawn yet
	whole   *ebiten.Image  // what Begin was given
	target  *ebiten.Image  // whole or the part that Clip chose
	plain   *ebiten.Shader // fills with the corners' colours
	sheet   sheet
	faces   faces
	scratch []geom.Vec
	round   []geom.Vec
	cross   []row
	tones   tones
}

// Drawing is what was drawn and can be drawn again: shapes and words, which need less memory than their pixels.
type Drawing struct {
	deeds    []deed
	writings []writing
	vertices []ebiten.Vertex
	indices  []uint32
}

// empty makes the drawing one of nothing that keeps its room.
func (d *Drawing) empty() {
	d.deeds, d.writings, d.vertices, d.indices = d.deeds[:0], d.writings[:0], d.vertices[:0], d.indices[:0]
}

// tones keeps what a theme makes of each colour.
type tones struct {
	theme    paint.Theme
	made     map[scene.Colour]scene.Colour
	of, last scene.Colour // the latest
}

// SetTheme shows all that is drawn from now on in a theme's colours.
func (p *Pen) SetTheme(theme paint.Theme) {
	p.tones = tones{theme: theme, made: map[scene.Colour]scene.Colour{}}
}

func (t *tones) turn(c scene.Colour) scene.Colour {
	switch {
	case t.theme.Own():
		return c
	case c == t.of:
		return t.last
	}
	made, ok := t.made[c]
	if !ok {
		made = t.theme.Tone(c)
		t.made[c] = made
	}
	t.of, t.last = c, made
	return made
}

var _ paint.Painter = (*Pen)(nil)

// plainFill is the shader of shapes: to look up a white texel for each pixel would cost a software renderer as much
// again.
const plainFill = `//kage:unit pixels
package main

func Fragment(place vec4, source vec2, colour vec4) vec4 { return colour }
`

// NewPen makes a pen with the embedded fonts.
func NewPen() (*Pen, error) {
	faces, err := loadFaces()
	if err != nil {
		return nil, err
	}
	plain, err := ebiten.NewShader([]byte(plainFill))
	if err != nil {
		return nil, err
	}
	return &Pen{Scale: 1, faces: faces, plain: plain, sheet: sheet{seed: maphash.MakeSeed()}}, nil
}

// Begin starts a picture.
func (p *Pen) Begin(target *ebiten.Image, scale float64) {
	p.whole, p.target, p.Scale = target, target, scale
}

// BeginAgain starts a picture anew that still shows what was drawn the last time, of which all but the changes stays.
func (p *Pen) BeginAgain(target *ebiten.Image, scale float64) {
	p.Begin(target, scale)
	p.empty()
	p.sheet.begin(target)
}

// End ends what BeginAgain began.
func (p *Pen) End() { p.sheet.end(p) }

// Forget has everything drawn at the next End.
func (p *Pen) Forget() { p.sheet.picture = nil }

// Keep makes a drawing of what draw draws, between BeginAgain and End, and shows nothing of it.
func (p *Pen) Keep(d *Drawing, draw func()) {
	frame := p.Drawing
	p.Drawing = *d
	p.empty()
	draw()
	*d, p.Drawing = p.Drawing, frame
}

// Again draws what Keep kept, as if it were drawn now. It must stay as it is until End.
func (p *Pen) Again(d *Drawing) {
	kept := deed{writing: -1, kept: d}
	for i := range d.deeds {
		kept.box = kept.box.Union(d.deeds[i].box)
	}
	p.deeds = append(p.deeds, kept)
}

// shape notes the shape of the corners and indices from there on.
func (p *Pen) shape(corner, index int) {
	p.piece([2]int{corner, len(p.vertices)}, [2]int{index, len(p.indices)})
}

// piece notes a shape, or a piece of one.
func (p *Pen) piece(corners, indices [2]int) {
	if !p.sheet.on {
		return
	}
	d := deed{clip: p.target.Bounds(), corners: corners, indices: indices, writing: -1}
	m := mark(indices[1] - indices[0])
	low, high := [2]float32{math.MaxFloat32, math.MaxFloat32}, [2]float32{-math.MaxFloat32, -math.MaxFloat32}
	for i := corners[0]; i < corners[1]; i++ {
		v := &p.vertices[i]
		m = m.floats(v.DstX, v.DstY).floats(v.ColorR, v.ColorG).floats(v.ColorB, v.ColorA)
		low = [2]float32{min(low[0], v.DstX), min(low[1], v.DstY)}
		high = [2]float32{max(high[0], v.DstX), max(high[1], v.DstY)}
	}
	d.box = pixelBox(float64(low[0]), float64(low[1]), float64(high[0]), float64(high[1])).Intersect(d.clip)
	p.add(d, m)
}

// pixelBox is the whole pixels that a box has a share in. What is not a number or far outside becomes large.
func pixelBox(x0, y0, x1, y1 float64) image.Rectangle {
	within := func(x float64) int { return int(max(-1<<20, min(x, 1<<20))) }
	return image.Rect(within(math.Floor(x0)), within(math.Floor(y0)), within(math.Ceil(x1)), within(math.Ceil(y1)))
}

// Flush hands over what was gathered.
func (p *Pen) Flush() {
	if p.sheet.on || len(p.indices) == 0 {
		return
	}
	p.hand(p.target, p.vertices, p.indices)
	p.vertices, p.indices = p.vertices[:0], p.indices[:0]
}

func (p *Pen) hand(target *ebiten.Image, vertices []ebiten.Vertex, indices []uint32) {
	target.DrawTrianglesShader32(vertices, indices, p.plain, nil)
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
		DstX: float32(x), DstY: float32(y),
		ColorR: float32(c.R) / 255 * alpha, ColorG: float32(c.G) / 255 * alpha, ColorB: float32(c.B) / 255 * alpha,
		ColorA: alpha,
	})
	return uint32(len(p.vertices) - 1)
}

func (p *Pen) triangle(a, b, c uint32) { p.indices = append(p.indices, a, b, c) }

func (p *Pen) quad(a, b, c, d uint32) { p.indices = append(p.indices, a, b, c, a, c, d) }
