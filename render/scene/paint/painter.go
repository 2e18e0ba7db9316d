// Package paint turns a scene into strokes, fills and words on pixels, and chooses places for its labels. It draws on a
// Painter, which the PNG and SVG pictures and the window each implement: three ways to put ink down, one way to draw.
//
// Frame: pixels, x right, y down, the origin at the upper left. Units: everyday pixels; a painter for a denser screen
// multiplies all numbers by its own ratio.
package paint

import (
	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
)

// Painter puts ink down, each call over the ones before. It must not keep the slices.
type Painter interface {
	// Fill paints the inside of a simple polygon.
	Fill(corners []geom.Vec, c scene.Colour)
	// Stroke paints polylines, with round ends and corners; closed joins each one's end to its start. Dashes are
	// lines of their own.
	Stroke(lines [][]geom.Vec, closed bool, width float64, c scene.Colour)
	// Disc paints a filled circle; Ring paints a circle's line.
	Disc(at geom.Vec, radius float64, c scene.Colour)
	Ring(at geom.Vec, radius, width float64, c scene.Colour)
	// Text paints one line of words.
	Text(t Text)
}

// Text is one line of words in the font that Width measures.
type Text struct {
	Words  string
	At     geom.Vec // left end of the baseline
	Size   float64  // em
	Bold   bool
	Colour scene.Colour
	On     scene.Colour // what it stands on: painters do not need it, the check of contrast does
}

// Box is the rectangle that the words' letters stay within.
func (t Text) Box() Box {
	return Box{t.At.X, t.At.Y - ascent*t.Size, t.At.X + Width(t.Words, t.Size, t.Bold), t.At.Y + descent*t.Size}
}

// Box is a rectangle of the picture.
type Box struct{ Left, Top, Right, Bottom float64 }

func (b Box) Width() float64  { return b.Right - b.Left }
func (b Box) Height() float64 { return b.Bottom - b.Top }

// Grown is the box with a margin; negative shrinks it.
func (b Box) Grown(margin float64) Box {
	return Box{b.Left - margin, b.Top - margin, b.Right + margin, b.Bottom + margin}
}

// has reports whether a pixel lies in the box or on its edge.
func (b Box) has(v geom.Vec) bool {
	return v.X >= b.Left && v.X <= b.Right && v.Y >= b.Top && v.Y <= b.Bottom
}

// Within reports whether the box lies wholly in another.
func (b Box) Within(o Box) bool {
	return b.Left >= o.Left && b.Right <= o.Right && b.Top >= o.Top && b.Bottom <= o.Bottom
}

// Meets reports whether two boxes share more than an edge.
func (b Box) Meets(o Box) bool {
	return b.Left < o.Right && o.Left < b.Right && b.Top < o.Bottom && o.Top < b.Bottom
}

// Corners are the box's corners, in order.
func (b Box) Corners() [4]geom.Vec {
	return [4]geom.Vec{{X: b.Left, Y: b.Top}, {X: b.Right, Y: b.Top}, {X: b.Right, Y: b.Bottom}, {X: b.Left, Y: b.Bottom}}
}
