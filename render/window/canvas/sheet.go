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
	on       bool   // things are held back
	tiles    []mark // of this frame
	shown    []mark // of what the picture shows
	across   int    // tiles in a row
	picture  *ebiten.Image
	seed     maphash.Seed    // of words' marks
	within   image.Rectangle // of the picture, to which drawing is restricted
	target   *ebiten.Image   // that part
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

// deed is one thing drawn: a shape, or words, or a drawing, or a photo.
type deed struct {
	mark             mark
	box, clip        image.Rectangle // pixels that it may change; to which it is restricted
	corners, indices [2]int          // of a shape: ranges in the pen's
	writing          int             // index of words, -1: none
	kept             *Drawing
	photo            *photo
}

// writing is a line of words, ready to be drawn.
type writing struct {
	words   string
	face    text.Face
	options text.DrawOptions
}

// add takes a deed up, with its mark.
func (d *Drawing) add(a deed, m mark) {
	a.box = a.box.Intersect(a.clip)
	if a.box.Empty() {
		return
	}
	a.mark = m.with(uint64(a.clip.Min.X)<<32 ^ uint64(a.clip.Min.Y)).
		with(uint64(a.clip.Max.X)<<32 ^ uint64(a.clip.Max.Y))
	d.deeds = append(d.deeds, a)
}

// write takes a line of words up.
func (d *Drawing) write(w writing, box, clip image.Rectangle, m mark) {
	d.writings = append(d.writings, w)
	d.add(deed{box: box, clip: clip, writing: len(d.writings) - 1}, m)
}

// begin makes the sheet ready for a frame of a picture.
func (s *sheet) begin(picture *ebiten.Image) {
	size := picture.Bounds().Size()
	s.across = (size.X + tile - 1) / tile
	n := s.across * ((size.Y + tile - 1) / tile)
	if s.picture != picture || len(s.shown) != n {
		s.picture, s.shown, s.tiles = picture, make([]mark, n), make([]mark, n)
	}
	for i := range s.tiles {
		s.tiles[i] = 1 // none is as one that was never drawn
	}
	s.on = true
}

// take marks the tiles in which a drawing has something.
func (s *sheet) take(d *Drawing) {
	for i := range d.deeds {
		a := &d.deeds[i]
		if a.kept != nil {
			s.take(a.kept)
			continue
		}
		box := a.box.Intersect(s.picture.Bounds())
		if box.Empty() {
			continue
		}
		for y := box.Min.Y / tile; y <= (box.Max.Y-1)/tile; y++ {
			row := s.tiles[y*s.across:]
			for x := box.Min.X / tile; x <= (box.Max.X-1)/tile; x++ {
				row[x] = row[x].with(uint64(a.mark))
			}
		}
	}
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
	s.take(&p.Drawing)
	for _, patch := range s.patches() {
		s.draw(p, &p.Drawing, patch.Intersect(s.picture.Bounds()))
		s.flush(p)
	}
	s.within, s.target = image.Rectangle{}, nil
	s.tiles, s.shown = s.shown, s.tiles
	p.empty()
}

// draw does within a patch all of a drawing.
func (s *sheet) draw(p *Pen, d *Drawing, patch image.Rectangle) {
	for i := range d.deeds {
		a := &d.deeds[i]
		if !a.box.Overlaps(patch) {
			continue
		}
		if a.kept != nil {
			s.draw(p, a.kept, patch)
			continue
		}
		if r := a.clip.Intersect(patch); r != s.within {
			s.flush(p)
			s.within, s.target = r, s.picture.SubImage(r).(*ebiten.Image)
		}
		if a.writing < 0 && a.photo == nil {
			s.gather(d, a)
			continue
		}
		s.flush(p)
		if a.photo != nil {
			s.target.DrawImage(a.photo.picture, &a.photo.options)
			continue
		}
		w := &d.writings[a.writing]
		text.Draw(s.target, w.words, w.face, &w.options)
	}
}

// gather adds a shape to those that are handed over together.
func (s *sheet) gather(d *Drawing, a *deed) {
	shift := uint32(len(s.vertices)) - uint32(a.corners[0])
	s.vertices = append(s.vertices, d.vertices[a.corners[0]:a.corners[1]]...)
	for _, index := range d.indices[a.indices[0]:a.indices[1]] {
		s.indices = append(s.indices, index+shift)
	}
}

func (s *sheet) flush(p *Pen) {
	if len(s.indices) > 0 {
		p.hand(s.target, s.vertices, s.indices)
		s.vertices, s.indices = s.vertices[:0], s.indices[:0]
	}
}
