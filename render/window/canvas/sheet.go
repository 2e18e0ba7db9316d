package canvas

import (
	"hash/maphash"
	"image"
	"math"
	"math/bits"

	"github.com/hajimehoshi/ebiten/v2"
	"github.com/hajimehoshi/ebiten/v2/text/v2"
)

// sheet holds back what is drawn of a frame. When all of it is known, it is drawn only in those tiles of the picture in
// which it differs from the frame before, because a renderer without a graphics card takes its time for every pixel.
type sheet struct {
	on       bool // things are held back
	deeds    []deed
	writings []writing
	tiles    []mark // of this frame
	shown    []mark // of what the picture shows
	across   int    // tiles in a row
	picture  *ebiten.Image
	seed     maphash.Seed
	vertices []ebiten.Vertex // gathered for one call
	indices  []uint32
}

// tile is the side of a tile, pixels.
const tile = 32

// mostPatches is how many pieces are drawn apart; more are drawn as one.
const mostPatches = 32

// mark tells what is drawn from all else: a hash.
type mark uint64

// with mixes a number in (a rotation and a multiplication by the golden ratio's bits; from memory).
func (m mark) with(x uint64) mark {
	return mark(bits.RotateLeft64(uint64(m)^x, 29) * 0x9e3779b97f4a7c15)
}

func (m mark) floats(a, b float32) mark {
	return m.with(uint64(math.Float32bits(a))<<32 | uint64(math.Float32bits(b)))
}

// deed is one thing drawn: a shape, or words, or a picture.
type deed struct {
	box, clip        image.Rectangle // pixels that it may change; to which it is restricted
	corners, indices [2]int          // of a shape: ranges in the pen's
	writing          int             // index of words, -1: none
	picture          *ebiten.Image
}

// writing is a line of words, ready to be drawn.
type writing struct {
	words   string
	face    text.Face
	options text.DrawOptions
}

// add takes a deed up, with its mark.
func (s *sheet) add(d deed, m mark) {
	d.box = d.box.Intersect(d.clip)
	if d.box.Empty() {
		return
	}
	m = m.with(uint64(d.clip.Min.X)<<32 ^ uint64(d.clip.Min.Y)).with(uint64(d.clip.Max.X)<<32 ^ uint64(d.clip.Max.Y))
	s.deeds = append(s.deeds, d)
	for y := d.box.Min.Y / tile; y <= (d.box.Max.Y-1)/tile; y++ {
		row := s.tiles[y*s.across:]
		for x := d.box.Min.X / tile; x <= (d.box.Max.X-1)/tile; x++ {
			row[x] = row[x].with(uint64(m))
		}
	}
}

// write takes a line of words up.
func (s *sheet) write(w writing, box, clip image.Rectangle, m mark) {
	s.writings = append(s.writings, w)
	s.add(deed{box: box, clip: clip, writing: len(s.writings) - 1}, m.with(maphash.String(s.seed, w.words)))
}

// begin makes the sheet ready for a frame of a picture.
func (s *sheet) begin(picture *ebiten.Image) {
	size := picture.Bounds().Size()
	s.across = (size.X + tile - 1) / tile
	n := s.across * ((size.Y + tile - 1) / tile)
	if s.picture != picture || len(s.shown) != n {
		s.picture, s.shown, s.tiles = picture, make([]mark, n), make([]mark, n)
		s.seed = maphash.MakeSeed()
	}
	for i := range s.tiles {
		s.tiles[i] = 1 // none is as one that was never drawn
	}
	s.deeds, s.writings, s.on = s.deeds[:0], s.writings[:0], true
}

// patches are the rectangles that cover the tiles in which something differs.
func (s *sheet) patches() []image.Rectangle {
	var all, open []image.Rectangle // open: those that reach down to the row before
	for first := 0; first < len(s.tiles); first += s.across {
		var row []image.Rectangle
		for x := 0; x < s.across; x++ {
			from := x
			for x < s.across && s.tiles[first+x] != s.shown[first+x] {
				x++
			}
			if x > from {
				y := first / s.across
				row = append(row, taller(open, image.Rect(from*tile, y*tile, x*tile, (y+1)*tile)))
			}
		}
		for _, r := range open {
			if !reaches(row, r) {
				all = append(all, r)
			}
		}
		open = row
	}
	all = append(all, open...)
	if len(all) <= mostPatches {
		return all
	}
	var whole image.Rectangle
	for _, r := range all {
		whole = whole.Union(r)
	}
	return []image.Rectangle{whole}
}

// taller is a rectangle of one row together with one of the same width right above it.
func taller(above []image.Rectangle, r image.Rectangle) image.Rectangle {
	for _, a := range above {
		if a.Min.X == r.Min.X && a.Max.X == r.Max.X {
			r.Min.Y = a.Min.Y
		}
	}
	return r
}

// reaches reports whether one of a row's rectangles is the same one made taller.
func reaches(row []image.Rectangle, r image.Rectangle) bool {
	for _, a := range row {
		if a.Min == r.Min && a.Max.X == r.Max.X {
			return true
		}
	}
	return false
}

// end draws what differs.
func (s *sheet) end(p *Pen) {
	s.on = false
	for _, patch := range s.patches() {
		s.draw(p, patch.Intersect(s.picture.Bounds()))
	}
	s.tiles, s.shown = s.shown, s.tiles
	p.vertices, p.indices = p.vertices[:0], p.indices[:0]
}

// draw does within a patch all that was held back.
func (s *sheet) draw(p *Pen, patch image.Rectangle) {
	var within image.Rectangle // of the target
	var target *ebiten.Image
	flush := func() {
		if len(s.indices) > 0 {
			p.hand(target, s.vertices, s.indices)
			s.vertices, s.indices = s.vertices[:0], s.indices[:0]
		}
	}
	for i := range s.deeds {
		d := &s.deeds[i]
		if !d.box.Overlaps(patch) {
			continue
		}
		if r := d.clip.Intersect(patch); r != within {
			flush()
			within, target = r, s.picture.SubImage(r).(*ebiten.Image)
		}
		switch {
		case d.picture != nil:
			flush()
			copyPicture(target, d.picture, d.box.Intersect(patch))
		case d.writing >= 0:
			flush()
			w := &s.writings[d.writing]
			text.Draw(target, w.words, w.face, &w.options)
		default:
			s.gather(p, d)
		}
	}
	flush()
}

// gather adds a shape to those that are handed over together.
func (s *sheet) gather(p *Pen, d *deed) {
	shift := uint32(len(s.vertices)) - uint32(d.corners[0])
	s.vertices = append(s.vertices, p.vertices[d.corners[0]:d.corners[1]]...)
	for _, index := range p.indices[d.indices[0]:d.indices[1]] {
		s.indices = append(s.indices, index+shift)
	}
}

// copyPicture copies a part of a picture to its place.
func copyPicture(target, picture *ebiten.Image, part image.Rectangle) {
	options := &ebiten.DrawImageOptions{Blend: ebiten.BlendCopy}
	options.GeoM.Translate(float64(part.Min.X), float64(part.Min.Y))
	target.DrawImage(picture.SubImage(part).(*ebiten.Image), options)
}
