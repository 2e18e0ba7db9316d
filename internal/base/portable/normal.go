package portable

import (
	"math"
	"math/rand/v2"
)

// Normal draws from the normal distribution of mean 0 and deviation 1 with the numbers that math/rand/v2's NormFloat64
// draws: the ziggurat of 128 strips (Marsaglia & Tsang, The ziggurat method for generating random variables, J. Stat.
// Soft. 5(8), 2000; the tables' making from memory, checked against Go's draws in the tests). Go's own takes logarithms
// and exponentials that are not the same to the bit everywhere.
func Normal(r *rand.Rand) float64 {
	for {
		u := r.Uint64()
		j, i := int32(u), u>>32&0x7F
		x := float64(float64(j) * float64(strips.width[i]))
		switch {
		case uint32(max(j, -j)) < strips.inside[i]:
			return x
		case i == 0:
			return tail(r, j > 0)
		}
		rise := float32(float32(r.Float64()) * (strips.height[i-1] - strips.height[i]))
		if strips.height[i]+rise < float32(Exp(-0.5*x*x)) {
			return x
		}
	}
}

// tail draws from beyond the strips.
func tail(r *rand.Rand, positive bool) float64 {
	for {
		x := float64(-Log(r.Float64()) * (1.0 / lastStrip))
		y := -Log(r.Float64())
		switch {
		case y+y < float64(x*x):
		case positive:
			return lastStrip + x
		default:
			return -lastStrip - x
		}
	}
}

const (
	lastStrip = 3.442619855899      // where the tail begins
	stripArea = 9.91256303526217e-3 // of each strip, and of the lowest with the tail
)

// strips are those of the ziggurat: which of 2^31 numbers lie inside the curve at once, the width a number stands for,
// and the curve's height at the strip's end.
var strips = newStrips()

type table struct {
	inside        [128]uint32
	width, height [128]float32
}

func newStrips() *table {
	const full = 1 << 31
	t := &table{}
	curve := func(x float64) float64 { return Exp(-0.5 * x * x) }
	x, outer := lastStrip, lastStrip
	base := stripArea / curve(x)
	t.inside[0], t.width[0], t.height[0] = uint32(x/base*full), float32(base/full), 1
	t.width[127], t.height[127] = float32(x/full), float32(curve(x))
	for i := 126; i >= 1; i-- {
		x = math.Sqrt(-2 * Log(stripArea/x+curve(x)))
		t.inside[i+1] = uint32(x / outer * full)
		outer = x
		t.width[i], t.height[i] = float32(x/full), float32(curve(x))
	}
	return t
}
