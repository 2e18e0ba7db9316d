package scene

import "math"

// linear is a channel of sRGB as light, 0 to 1. Source: IEC 61966-2-1:1999.
func linear(channel uint8) float64 {
	v := float64(channel) / 255
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

// encoded is the reverse.
func encoded(light float64) uint8 {
	light = math.Min(math.Max(light, 0), 1)
	v := 12.92 * light
	if light > 0.0031308 {
		v = 1.055*math.Pow(light, 1/2.4) - 0.055
	}
	return uint8(math.Round(255 * v))
}

// lab is a colour in CIELAB for the white D65. Source: CIE 15:2004, 8.2.1, with sRGB's matrix of IEC 61966-2-1:1999:
//
//	L = 116 f(Y/Yn) - 16,  a = 500 (f(X/Xn) - f(Y/Yn)),  b = 200 (f(Y/Yn) - f(Z/Zn))
func lab(c Colour) [3]float64 {
	r, g, b := linear(c.R), linear(c.G), linear(c.B)
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	x := f((0.4124*r + 0.3576*g + 0.1805*b) / 0.9505)
	y := f(0.2126*r + 0.7152*g + 0.0722*b)
	z := f((0.0193*r + 0.1192*g + 0.9505*b) / 1.0890)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

// Difference is how different two colours look: CIE76, the distance in CIELAB (CIE 15:2004, 8.2.1.2).
func Difference(a, b Colour) float64 {
	p, q := lab(a), lab(b)
	return math.Sqrt((p[0]-q[0])*(p[0]-q[0]) + (p[1]-q[1])*(p[1]-q[1]) + (p[2]-q[2])*(p[2]-q[2]))
}

// Eye is a kind of colour vision.
type Eye int

const (
	Unchanged   Eye = iota
	Protanope       // lacks the cones for long waves
	Deuteranope     // lacks those for middle waves
)

// Sees gives the colour that looks to others as c does to this eye. Source: F. Vienot, H. Brettel, J. D. Mollon,
// Digital video colourmaps for checking the legibility of displays by dichromats, Color Res. Appl. 24(4), 1999 (its
// matrices from memory).
func (e Eye) Sees(c Colour) Colour {
	if e == Unchanged {
		return c
	}
	r, g, b := linear(c.R), linear(c.G), linear(c.B)
	long := 17.8824*r + 43.5161*g + 4.11935*b
	middle := 3.45565*r + 27.1554*g + 3.86714*b
	short := 0.0299566*r + 0.184309*g + 1.46709*b
	if e == Protanope {
		long = 2.02344*middle - 2.52581*short
	} else {
		middle = 0.494207*long + 1.24827*short
	}
	return Colour{
		R: encoded(0.0809444479*long - 0.130504409*middle + 0.116721066*short),
		G: encoded(-0.0102485335*long + 0.0540193266*middle - 0.113614708*short),
		B: encoded(-0.000365296938*long - 0.00412161469*middle + 0.693511405*short),
		A: c.A,
	}
}
