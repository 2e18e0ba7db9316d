package canvas

import (
	"bytes"
	"hash/maphash"
	"math"
	"strings"
	"unicode/utf8"

	"github.com/hajimehoshi/ebiten/v2/text/v2"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/gomonobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"

	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// Type is a typeface.
type Type int

const (
	Plain Type = iota
	Bold
	Mono
	MonoBold
)

// MonoWidth is the width of every letter of the mono faces, in em (Go Mono's own advance, 1229 of 2048 units).
const MonoWidth = 1229.0 / 2048

// whole is the size in pixels that letters of a size are drawn at. Ebiten's text spaces letters by the next whole
// number of pixels above their size; going down to a whole one keeps words within the width that was planned for them.
func whole(size, scale float64) float64 { return math.Max(1, math.Floor(size*scale+0.05)) }

// MonoAdvance is how wide a letter of the mono faces is drawn, in logical points.
func MonoAdvance(size, scale float64) float64 { return MonoWidth * whole(size, scale) / scale }

// faces keeps a face for each typeface and size, so that glyphs are made once.
type faces struct {
	sources [4]*text.GoTextFaceSource
	made    map[faceKey]*text.GoTextFace
	tables  [4]*sfnt.Font // the same fonts, to be asked which letters they have
	known   map[rune]source

	letters map[faceKey]*text.MultiFace // made, with paint.Letters for what it lacks
}

// source says where a letter is found.
type source int

const (
	nowhere source = iota
	inFonts        // all four have it
	inLetters
)

// unknown stands for a letter that the fonts lack: an empty box, which all four have, and no question mark, which a
// person might have written.
const unknown = '□'

// shown is words with a sign for every letter that is found nowhere. letters tells that some are not in the fonts.
func (f *faces) shown(words string) (shown string, letters bool) {
	shown = strings.Map(func(r rune) rune {
		if r < utf8.RuneSelf {
			return r
		}
		switch f.source(r) {
		case nowhere:
			return unknown
		case inLetters:
			letters = true
		}
		return r
	}, words)
	return shown, letters
}

func (f *faces) source(r rune) source {
	from, ok := f.known[r]
	if !ok {
		from = inFonts
		for _, table := range f.tables {
			if glyph, err := table.GlyphIndex(nil, r); err != nil || glyph == 0 {
				from = nowhere
			}
		}
		if from == nowhere && paint.Letters(1).Has(r) {
			from = inLetters
		}
		f.known[r] = from
	}
	return from
}

type faceKey struct {
	kind Type
	size float64 // pixels
}

func loadFaces() (faces, error) {
	f := faces{made: map[faceKey]*text.GoTextFace{}, letters: map[faceKey]*text.MultiFace{}, known: map[rune]source{}}
	for i, data := range [][]byte{goregular.TTF, gobold.TTF, gomono.TTF, gomonobold.TTF} {
		source, err := text.NewGoTextFaceSource(bytes.NewReader(data))
		if err != nil {
			return f, err
		}
		f.sources[i] = source
		if f.tables[i], err = sfnt.Parse(data); err != nil {
			return f, err
		}
	}
	return f, nil
}

func (p *Pen) face(kind Type, size float64) *text.GoTextFace {
	key := faceKey{kind, whole(size, p.Scale)}
	face, ok := p.faces.made[key]
	if !ok {
		face = &text.GoTextFace{Source: p.faces.sources[kind], Size: key.size}
		p.faces.made[key] = face
	}
	return face
}

// withLetters is the face together with paint.Letters.
func (p *Pen) withLetters(kind Type, size float64) text.Face {
	key := faceKey{kind, whole(size, p.Scale)}
	face, ok := p.faces.letters[key]
	if !ok {
		var err error
		if face, err = text.NewMultiFace(p.face(kind, size), text.NewGoXFace(paint.Letters(key.size))); err != nil {
			panic("canvas: " + err.Error()) // both run from left to right
		}
		p.faces.letters[key] = face
	}
	return face
}

// Text paints one line of words of a scene.
func (p *Pen) Text(t paint.Text) {
	kind := Plain
	if t.Bold {
		kind = Bold
	}
	p.Write(t.Words, t.At.X, t.At.Y, kind, t.Size, t.Colour)
}

// Write paints one line with the left end of its baseline at x, y.
func (p *Pen) Write(words string, x, y float64, kind Type, size float64, c scene.Colour) {
	if words == "" {
		return
	}
	p.Flush()
	var face text.Face = p.face(kind, size)
	shown, letters := p.faces.shown(words)
	if letters {
		face = p.withLetters(kind, size)
	}
	x, y = math.Round(x*p.Scale), math.Round(y*p.Scale)
	w := writing{words: shown, face: face}
	w.options.GeoM.Translate(x, y-face.Metrics().HAscent)
	c = p.tones.turn(c)
	w.options.ColorScale.ScaleWithColor(c)
	if !p.sheet.on {
		text.Draw(p.target, shown, face, &w.options)
		return
	}
	p.write(w, pixelBox(lettersBox(shown, x, y, kind, whole(size, p.Scale))), p.target.Bounds(),
		mark(kind).floats(float32(x), float32(y)).floats(float32(size), float32(p.Scale)).
			with(uint64(c.R)<<24|uint64(c.G)<<16|uint64(c.B)<<8|uint64(c.A)).
			with(maphash.String(p.sheet.seed, shown)))
}

// lettersBox is what a line of words may cover, pixels: no letter is wider than 1.2 em, and those of the mono faces all
// have one width.
func lettersBox(words string, x, y float64, kind Type, em float64) (x0, y0, x1, y1 float64) {
	width := 1.2
	if kind == Mono || kind == MonoBold {
		width = MonoWidth
	}
	n := float64(utf8.RuneCountInString(words)) + 1
	return x - em, y - 1.3*em, x + n*width*em, y + 0.5*em
}
