package movie

import (
	"cmp"
	"image"
	"image/color"
	"math"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/render/picture"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// unchanged is the palette's place for "as in the frame before".
const unchanged = 0

// palette has the colours of a movie: the inks that it is drawn with, those that cover most of it, and of the mixtures
// at their edges those that are farthest from all others.
type palette struct {
	colours []color.RGBA // the first is unchanged
	nearest []uint8      // per 24-bit colour its place, 0: not looked for yet
}

// counted is a colour and how many pixels have it.
type counted struct {
	colour color.RGBA
	ink    bool
	pixels int
}

// tally counts the colours of drawings: the inks, and the pixels. It is a paint.Painter that sees the inks.
type tally struct {
	inks   map[scene.Colour]bool
	pixels map[uint32]int
}

func newTally() *tally { return &tally{map[scene.Colour]bool{}, map[uint32]int{}} }

func (t *tally) Fill(_ []geom.Vec, c scene.Colour)                        { t.inks[c] = true }
func (t *tally) Stroke(_ [][]geom.Vec, _ bool, _ float64, c scene.Colour) { t.inks[c] = true }
func (t *tally) Disc(_ geom.Vec, _ float64, c scene.Colour)               { t.inks[c] = true }
func (t *tally) Ring(_ geom.Vec, _, _ float64, c scene.Colour)            { t.inks[c] = true }
func (t *tally) Text(words paint.Text)                                    { t.inks[words.Colour] = true }

// add counts a drawing and its picture.
func (t *tally) add(d picture.Drawing, img *image.RGBA) {
	t.inks[d.Ground] = true
	d.Draw(t)
	for i := 0; i < len(img.Pix); i += 4 {
		t.pixels[packed(img.Pix[i:])]++
	}
}

func packed(pixel []uint8) uint32 {
	return uint32(pixel[0])<<16 | uint32(pixel[1])<<8 | uint32(pixel[2])
}

// widest is how many colours are taken for the area that they cover: grounds, and inks that let others through.
const widest = 24

// steps are the distances, of 255 a channel, that further colours have from each other, from one round of choosing to
// the next.
var steps = [...]float64{48, 32, 24, 16, 12, 8, 6, 4, 3, 2, 1}

// palette chooses the colours; in each round the most frequent come first.
func (t *tally) palette() *palette {
	all := t.sorted()
	p := &palette{colours: make([]color.RGBA, 1, 256), nearest: make([]uint8, 1<<24)}
	left := make([]int, len(all)) // per colour its distance from the nearest one chosen, squared
	for i := range left {
		left[i] = math.MaxInt
	}
	take := func(c color.RGBA) {
		p.colours = append(p.colours, c)
		for k := range all {
			left[k] = min(left[k], apart(all[k].colour, c))
		}
	}
	for round, step := range append([]float64{0, 0}, steps[:]...) {
		for i := range all {
			fits := [...]bool{all[i].ink, i < widest, float64(left[i]) >= step*step}[min(round, 2)]
			if fits && left[i] > 0 && len(p.colours) < 256 {
				take(all[i].colour)
			}
		}
	}
	return p
}

// sorted lists the colours, those with the most pixels first.
func (t *tally) sorted() []counted {
	all := make([]counted, 0, len(t.pixels))
	for c, n := range t.pixels {
		own := color.RGBA{R: uint8(c >> 16), G: uint8(c >> 8), B: uint8(c), A: 0xff}
		all = append(all, counted{own, t.inks[scene.Colour(own)], n})
	}
	slices.SortFunc(all, func(a, b counted) int {
		return cmp.Or(cmp.Compare(b.pixels, a.pixels), cmp.Compare(packedColour(a.colour), packedColour(b.colour)))
	})
	return all
}

func packedColour(c color.RGBA) uint32 { return packed([]uint8{c.R, c.G, c.B}) }

func apart(a, b color.RGBA) int {
	r, g, blue := int(a.R)-int(b.R), int(a.G)-int(b.G), int(a.B)-int(b.B)
	return r*r + g*g + blue*blue
}

// of is the place of the colour that is nearest to a pixel's.
func (p *palette) of(pixel []uint8) uint8 {
	key := packed(pixel)
	if place := p.nearest[key]; place != 0 {
		return place
	}
	best, least := 1, math.MaxInt
	for i := 1; i < len(p.colours); i++ {
		if d := apart(p.colours[i], color.RGBA{R: pixel[0], G: pixel[1], B: pixel[2]}); d < least {
			best, least = i, d
		}
	}
	p.nearest[key] = uint8(best)
	return uint8(best)
}
