package paint

import (
	"bytes"
	"compress/flate"
	_ "embed"
	"encoding/binary"
	"image"
	"io"
	"math"
	"slices"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// lettersFile has the letters that the Go fonts lack: ideographs, kana, hangul, symbols. Compressed, their number, then
// of each the distance from the one before twice, plus 1 for one of full width, then of each its grid, row by row.
//
//go:embed letters/letters.bin
var lettersFile []byte

// The grid of a letter, of which an em has 12 by 12.
const (
	gridColumns, gridRows = 12, 14
	gridBytes             = gridColumns * gridRows / 8
	gridAbove             = 11 // rows above the baseline
	gridEm                = 12
)

// letters are 33,000: they are unpacked when the first is needed.
var letters = sync.OnceValue(unpackedLetters)

type letterTable struct {
	runes []uint16 // rising
	wide  []bool
	grids []byte
}

func unpackedLetters() *letterTable {
	file, err := io.ReadAll(flate.NewReader(bytes.NewReader(lettersFile)))
	if err != nil {
		panic("paint: embedded letters: " + err.Error())
	}
	in := bytes.NewReader(file)
	next := func() uint64 {
		n, err := binary.ReadUvarint(in)
		if err != nil {
			panic("paint: embedded letters: " + err.Error())
		}
		return n
	}
	t := &letterTable{}
	last := uint64(0)
	for range next() {
		step := next()
		last += step >> 1
		t.runes, t.wide = append(t.runes, uint16(last)), append(t.wide, step&1 == 1)
	}
	t.grids = file[len(file)-in.Len():]
	return t
}

// LetterFace draws those letters at a size (em) in pixels, and has no other.
type LetterFace struct{ size float64 }

// Letters is the face of a size in pixels.
func Letters(size float64) LetterFace { return LetterFace{size} }

// firstLetter is below all that have a place in the table, so that Latin text does not unpack it.
const firstLetter = 0x2010

// Has reports whether a letter is one of these.
func (f LetterFace) Has(r rune) bool {
	_, has := f.find(r)
	return has
}

func (f LetterFace) find(r rune) (at int, has bool) {
	if r < firstLetter || r > math.MaxUint16 {
		return 0, false
	}
	return slices.BinarySearch(letters().runes, uint16(r))
}

func (f LetterFace) columns(at int) int {
	if letters().wide[at] {
		return gridColumns
	}
	return gridColumns / 2
}

// GlyphAdvance, GlyphBounds and Glyph are as font.Face has them.
func (f LetterFace) GlyphAdvance(r rune) (fixed.Int26_6, bool) {
	at, has := f.find(r)
	if !has {
		return 0, false
	}
	return f.fixed(f.columns(at)), true
}

func (f LetterFace) GlyphBounds(r rune) (fixed.Rectangle26_6, fixed.Int26_6, bool) {
	advance, has := f.GlyphAdvance(r)
	return fixed.Rectangle26_6{
		Min: fixed.Point26_6{Y: -f.fixed(gridAbove)}, Max: fixed.Point26_6{X: advance, Y: f.fixed(gridRows - gridAbove)},
	}, advance, has
}

// Glyph covers each pixel by as much as the letter's squares take of it.
func (f LetterFace) Glyph(dot fixed.Point26_6, r rune) (image.Rectangle, image.Image, image.Point, fixed.Int26_6,
	bool) {
	at, has := f.find(r)
	if !has {
		return image.Rectangle{}, nil, image.Point{}, 0, false
	}
	square, left, top := f.size/gridEm, float64(dot.X)/64, float64(dot.Y)/64-f.size*gridAbove/gridEm
	box := image.Rect(int(math.Floor(left)), int(math.Floor(top)),
		int(math.Ceil(left+square*float64(f.columns(at)))), int(math.Ceil(top+square*gridRows)))
	mask := image.NewAlpha(box)
	grid := letters().grids[at*gridBytes:][:gridBytes]
	for bit := range gridColumns * gridRows {
		if grid[bit/8]>>(bit%8)&1 == 1 {
			cover(mask, left+square*float64(bit%gridColumns), top+square*float64(bit/gridColumns), square)
		}
	}
	return box, mask, box.Min, f.fixed(f.columns(at)), true
}

// cover adds a square to a mask; the rest of a pixel may belong to the squares beside it.
func cover(mask *image.Alpha, left, top, side float64) {
	for y := int(math.Floor(top)); float64(y) < top+side; y++ {
		high := math.Min(float64(y)+1, top+side) - math.Max(float64(y), top)
		for x := int(math.Floor(left)); float64(x) < left+side; x++ {
			wide := math.Min(float64(x)+1, left+side) - math.Max(float64(x), left)
			if !(image.Pt(x, y).In(mask.Rect)) {
				continue
			}
			pixel := &mask.Pix[mask.PixOffset(x, y)]
			*pixel = uint8(math.Min(255, float64(*pixel)+math.Round(255*wide*high)))
		}
	}
}

// Kern and Close have nothing to do; Metrics are those of the em.
func (LetterFace) Kern(rune, rune) fixed.Int26_6 { return 0 }
func (LetterFace) Close() error                  { return nil }
func (f LetterFace) Metrics() font.Metrics {
	return font.Metrics{Height: f.fixed(gridRows), Ascent: f.fixed(gridAbove), Descent: f.fixed(gridRows - gridAbove)}
}

// fixed is so many of the grid's steps.
func (f LetterFace) fixed(steps int) fixed.Int26_6 {
	return fixed.Int26_6(math.Round(f.size * float64(steps) / gridEm * 64))
}

// WithLetters is a Go font with the letters that it lacks.
type WithLetters struct {
	font.Face
	font    *opentype.Font
	letters LetterFace
}

// lacks is asked before the table of letters is unpacked.
func lacks(f *opentype.Font, r rune) bool {
	glyph, err := f.GlyphIndex(nil, r)
	return err != nil || glyph == 0
}

func (f WithLetters) has(r rune) bool {
	return r >= firstLetter && lacks(f.font, r) && f.letters.Has(r)
}

// Glyph, GlyphBounds and GlyphAdvance are as font.Face has them.
func (f WithLetters) Glyph(dot fixed.Point26_6, r rune) (image.Rectangle, image.Image, image.Point, fixed.Int26_6,
	bool) {
	if f.has(r) {
		return f.letters.Glyph(dot, r)
	}
	return f.Face.Glyph(dot, r)
}

func (f WithLetters) GlyphBounds(r rune) (fixed.Rectangle26_6, fixed.Int26_6, bool) {
	if f.has(r) {
		return f.letters.GlyphBounds(r)
	}
	return f.Face.GlyphBounds(r)
}

func (f WithLetters) GlyphAdvance(r rune) (fixed.Int26_6, bool) {
	if f.has(r) {
		return f.letters.GlyphAdvance(r)
	}
	return f.Face.GlyphAdvance(r)
}
