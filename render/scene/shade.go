package scene

// The ends of a map's scale: dark where the score is least, light where it is greatest. One hue, so that it reads
// without colour vision and in grey.
var (
	leastShade = hex(0x2c255c)
	mostShade  = hex(0xe9e4ff)
)

// ScoreShade is a map's colour at a share, 0 for the least score to 1 for the greatest.
func ScoreShade(share float64) Colour { return Mix(leastShade, mostShade, share) }

// InkOn is black or white, whichever reads better: one of the two has a contrast of 4.58 or more on any colour (the
// geometric mean of 1 and 21).
func InkOn(ground Colour) Colour {
	white, black := Colour{R: 0xff, G: 0xff, B: 0xff, A: 0xff}, Colour{A: 0xff}
	if Contrast(white, ground) > Contrast(black, ground) {
		return white
	}
	return black
}
