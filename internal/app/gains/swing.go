package gains

import (
	"math"

	"chalkfield/internal/base/portable"
)

// Wave is a lasting swing.
type Wave struct {
	Amplitude float64 // about its middle, of the last waves
	Period    float64 // s
}

const (
	fewestHalves = 5    // half waves that make a swing
	lasting      = 0.98 // of a wave, that the next one has at least: what decays faster settles
)

// Swings tells whether values over time swing on and on by more than a little: in the last two thirds, by at least five
// half waves that do not die down by more than 2 % a wave. So it takes a gain for too much that is some percent below
// the one at which a linear loop swings for ever.
func Swings(t, x []float64, little float64) (Wave, bool) {
	n := len(t)
	first := n / 3
	_, middle := peakAndMean(x[first:])
	halves := halfWaves(t[first:], x[first:], middle)
	k := len(halves)
	if k < fewestHalves {
		return Wave{}, false
	}
	var sum float64
	for _, h := range halves[k-3:] {
		sum += h.size
	}
	w := Wave{Amplitude: sum / 3, Period: 2 * (halves[k-1].begin - halves[0].begin) / float64(k-1)}
	if w.Amplitude <= little {
		return w, false
	}
	return w, growth(halves) >= lasting
}

// Trembles tells the same of a shake by more than a little about what else it does, such as drifts: by its turning
// points in the last third. It takes a swing for one too.
func Trembles(t, x []float64, little float64) (Wave, bool) {
	turns := turningPoints(t, x)
	k := len(turns)
	if k < 2*fewestHalves {
		return Wave{}, false
	}
	var sum float64
	for _, h := range turns {
		sum += h.size
	}
	w := Wave{Amplitude: sum / float64(k), Period: 2 * (turns[k-1].begin - turns[0].begin) / float64(k-1)}
	return w, w.Amplitude > little && growth(turns) >= lasting
}

// turningPoints are the ways between them, in the last third, as half waves.
func turningPoints(t, x []float64) (list []half) {
	last := -1
	for i := 1 + 2*len(x)/3; i < len(x)-1; i++ {
		if (x[i]-x[i-1])*(x[i+1]-x[i]) >= 0 {
			continue
		}
		if last >= 0 {
			list = append(list, half{t[last], math.Abs(x[i]-x[last]) / 2})
		}
		last = i
	}
	return list
}

// half is a half wave: from one crossing of the middle to the next.
type half struct{ begin, size float64 }

// growth is by what a wave is larger than the one before: the straight line of least squares through the sizes'
// logarithms, over all half waves, since a loop that is asked in ticks beats.
func growth(halves []half) float64 {
	var up, across float64
	centre := float64(len(halves)-1) / 2
	for i, h := range halves {
		x := float64(i) - centre
		up += float64(x * portable.Log(h.size))
		across += float64(x * x)
	}
	return portable.Exp(2 * up / across)
}

// halfWaves are the whole ones about a middle.
func halfWaves(t, x []float64, middle float64) (list []half) {
	for i := 1; i < len(t); i++ {
		a, b := x[i-1]-middle, x[i]-middle
		if a != 0 && (a < 0) != (b < 0) {
			list = append(list, half{begin: t[i-1] + float64((t[i]-t[i-1])*a/(a-b))})
		}
		if n := len(list); n > 0 {
			list[n-1].size = math.Max(list[n-1].size, math.Abs(b))
		}
	}
	if len(list) > 0 {
		list = list[:len(list)-1] // cut off by the end
	}
	return list
}
