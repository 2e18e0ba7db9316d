package movie

import (
	"compress/lzw"
	"encoding/binary"
	"image"
	"io"
)

// gifWriter writes frames into a GIF as they come: of each only the rectangle that has changed, and in it as
// transparent what has not. Source: Graphics Interchange Format, version 89a (CompuServe, 1990); the extension that
// repeats the whole is common practice, no source.
type gifWriter struct {
	out           io.Writer
	err           error
	width, height int
	colours       *palette
	shown         []uint8 // what the frames so far show, places in the palette
	next          []uint8
	waits         []uint8         // of the frame that is yet to be written: the pixels of its rectangle
	at            image.Rectangle // its rectangle
	delay         int             // hundredths of a second that it is shown
}

// Bytes of the format.
const (
	extension      = 0x21
	graphicControl = 0xf9
	comment        = 0xfe
	application    = 0xff
	imageBegins    = 0x2c
	trailer        = 0x3b
	leaveInPlace   = 1 << 2 // disposal
	transparent    = 1
	colourTable256 = 0xf7 // there is a global one, 8 bits a channel, 256 entries
)

// MadeBy stands at the beginning of every movie.
const MadeBy = "A movie by Chalkfield"

func newGIF(out io.Writer, width, height int, p *palette) *gifWriter {
	g := &gifWriter{out: out, width: width, height: height, colours: p, shown: make([]uint8, width*height),
		next: make([]uint8, width*height)}
	head := []byte("GIF89a")
	head = binary.LittleEndian.AppendUint16(head, uint16(width))
	head = binary.LittleEndian.AppendUint16(head, uint16(height))
	head = append(head, colourTable256, 1, 0)
	for i := range 256 {
		if i < len(p.colours) {
			head = append(head, p.colours[i].R, p.colours[i].G, p.colours[i].B)
		} else {
			head = append(head, 0, 0, 0)
		}
	}
	head = append(head, extension, comment, uint8(len(MadeBy)))
	head = append(append(head, MadeBy...), 0)
	head = append(head, extension, application, 11)
	head = append(head, "NETSCAPE2.0"...)
	head = append(head, 3, 1, 0, 0, 0) // for ever
	g.bytes(head)
	return g
}

// bytes writes, unless something has failed.
func (g *gifWriter) bytes(b []byte) {
	if g.err == nil {
		_, g.err = g.out.Write(b)
	}
}

// show shows a picture for some hundredths of a second. One that looks like the one before only makes that last.
func (g *gifWriter) show(img *image.RGBA, delay int) error {
	changed := g.compare(img)
	if changed.Empty() && g.delay > 0 {
		g.delay += delay
		return g.err
	}
	g.flush()
	g.at, g.delay, g.waits = changed, delay, g.waits[:0]
	for y := changed.Min.Y; y < changed.Max.Y; y++ {
		for x := changed.Min.X; x < changed.Max.X; x++ {
			i := y*g.width + x
			if g.shown[i] == g.next[i] {
				g.waits = append(g.waits, unchanged)
			} else {
				g.waits = append(g.waits, g.next[i])
			}
		}
	}
	g.shown, g.next = g.next, g.shown
	return g.err
}

// compare finds the next frame's places and the rectangle in which they differ from what is shown.
func (g *gifWriter) compare(img *image.RGBA) image.Rectangle {
	low, high := image.Pt(g.width, g.height), image.Point{}
	for y := range g.height {
		row := img.Pix[y*img.Stride:]
		for x := range g.width {
			i := y*g.width + x
			g.next[i] = g.colours.of(row[4*x:])
			if g.next[i] != g.shown[i] {
				low.X, low.Y = min(low.X, x), min(low.Y, y)
				high.X, high.Y = max(high.X, x+1), y+1
			}
		}
	}
	return image.Rectangle{Min: low, Max: high}
}

// flush writes the frame that waits.
func (g *gifWriter) flush() {
	if g.delay == 0 {
		return
	}
	head := []byte{extension, graphicControl, 4, leaveInPlace | transparent}
	head = binary.LittleEndian.AppendUint16(head, uint16(g.delay))
	head = append(head, unchanged, 0, imageBegins)
	for _, n := range []int{g.at.Min.X, g.at.Min.Y, g.at.Dx(), g.at.Dy()} {
		head = binary.LittleEndian.AppendUint16(head, uint16(n))
	}
	const bits = 8
	g.bytes(append(head, 0, bits))
	blocks := &blockWriter{to: g}
	packer := lzw.NewWriter(blocks, lzw.LSB, bits)
	if _, err := packer.Write(g.waits); g.err == nil {
		g.err = err
	}
	if err := packer.Close(); g.err == nil {
		g.err = err
	}
	blocks.flush()
	g.bytes([]byte{0})
}

// end writes the last frame and closes the file.
func (g *gifWriter) end() error {
	g.flush()
	g.bytes([]byte{trailer})
	return g.err
}

// blockWriter cuts what it is given into blocks of at most 255 bytes, each after its length.
type blockWriter struct {
	to    *gifWriter
	block [256]byte
	used  int
}

func (b *blockWriter) Write(data []byte) (int, error) {
	for _, c := range data {
		if b.WriteByte(c) != nil {
			return 0, b.to.err
		}
	}
	return len(data), nil
}

// WriteByte is what the packer asks for beside Write.
func (b *blockWriter) WriteByte(c byte) error {
	b.used++
	b.block[b.used] = c
	if b.used == 255 {
		b.flush()
	}
	return b.to.err
}

// Flush is what the packer asks for beside WriteByte: the blocks are filled over its calls.
func (b *blockWriter) Flush() error { return b.to.err }

func (b *blockWriter) flush() {
	if b.used > 0 {
		b.block[0] = byte(b.used)
		b.to.bytes(b.block[:b.used+1])
		b.used = 0
	}
}
