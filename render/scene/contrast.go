package scene

import "math"

// Luminance is the relative luminance of an opaque colour, 0 for black to 1 for white.
// Source: W3C, Web Content Accessibility Guidelines 2.1 (2018), definition of "relative luminance":
//
//	L = 0.2126 R + 0.7152 G + 0.0722 B,  with c/12.92 for c <= 0.03928, else ((c + 0.055)/1.055)^2.4
func Luminance(c Colour) float64 {
	linear := func(channel uint8) float64 {
		v := float64(channel) / 255
		if v <= 0.03928 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

// Contrast is the ratio of two opaque colours' luminances, 1 to 21.
// Source: WCAG 2.1, definition of "contrast ratio": (L1 + 0.05)/(L2 + 0.05), L1 the lighter.
func Contrast(a, b Colour) float64 {
	la, lb := Luminance(a), Luminance(b)
	return (math.Max(la, lb) + 0.05) / (math.Min(la, lb) + 0.05)
}

// TextContrast is the least contrast that text has on what it stands on (WCAG 2.1, success criterion 1.4.3), and
// ShapeContrast that of shapes that carry meaning (1.4.11).
const (
	TextContrast  = 4.5
	ShapeContrast = 3.0
)

// Legible is the colour c, lightened towards chalk as little as gives the contrast wanted on the ground. The grounds of
// the palette are all so dark that chalk itself has more than any contrast asked for here.
func Legible(c, ground Colour, contrast float64) Colour {
	for share := 0.0; share < 1; share += 1.0 / 32 {
		if lighter := Mix(c, Chalk, share); Contrast(lighter, ground) >= contrast {
			return lighter
		}
	}
	return Chalk
}
