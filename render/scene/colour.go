package scene

import (
	"image/color"
	"strconv"
)

// Colour is sRGB, not premultiplied. The zero Colour is nothing.
type Colour = color.NRGBA

// The palette: chalk on slate.
var (
	Slate    = hex(0x1b2126) // the page
	SlateTop = hex(0x2b343b) // the floor
	Plate    = hex(0x151a1e) // under labels
	Chalk    = hex(0xf0ece0) // text and the thin lines that matter
	Dust     = hex(0xb4b7b3) // text and lines of the second rank
	Scratch  = hex(0x3b464e) // tile grid: decoration only
	Accent   = hex(0xb9a8ff) // the routine's own where there are no sides: see Tint
)

// hex is the opaque colour 0xrrggbb.
func hex(v uint32) Colour { return Colour{R: uint8(v >> 16), G: uint8(v >> 8), B: uint8(v), A: 0xff} }

// ParseColour reads "#rrggbb"; anything else gives the fallback (the field's loader has refused it before).
func ParseColour(text string, fallback Colour) Colour {
	if len(text) != 7 || text[0] != '#' {
		return fallback
	}
	v, err := strconv.ParseUint(text[1:], 16, 32)
	if err != nil {
		return fallback
	}
	return hex(uint32(v))
}

// Mix is a on its way to b, by a share from 0 to 1, opaque.
func Mix(a, b Colour, share float64) Colour {
	step := func(x, y uint8) uint8 { return uint8(float64(x) + (float64(y)-float64(x))*share + 0.5) }
	return Colour{R: step(a.R, b.R), G: step(a.G, b.G), B: step(a.B, b.B), A: 0xff}
}

// faded is the colour with an opacity from 0 to 1.
func faded(c Colour, opacity float64) Colour {
	c.A = uint8(255*opacity + 0.5)
	return c
}
