package gains

import (
	"fmt"
	"math"
)

// Curve is a loop over time: what was wanted, what was, and the current that its motors took.
type Curve struct {
	T      []float64 `json:"t"`      // s since the step
	Wanted []float64 `json:"wanted"` // m or rad since the begin
	Is     []float64 `json:"is"`
	Amps   []float64 `json:"amps"`
}

// Verdict is what became of a step.
type Verdict string

const (
	Settles Verdict = "settles"
	Rings   Verdict = "rings"           // it swings on to the end
	Shakes  Verdict = "trembles"        // so little that it is not seen in the step, or while it goes elsewhere
	Drifts  Verdict = "never settles"   // it is still on its way at the end
	Stays   Verdict = "does not arrive" // it does not come half the way
)

// Figures are those of a step, as Ogata defines them (Modern Control Engineering, ch. 5): from 10 to 90 % of the way,
// the peak beyond the final value, the time from which it stays within 2 % of that. What there is not is nil.
type Figures struct {
	Verdict   Verdict  `json:"verdict"`
	Rise      *float64 `json:"rise"`      // s
	Overshoot *float64 `json:"overshoot"` // share of the step
	Settling  *float64 `json:"settling"`  // s
	Steady    *float64 `json:"steady"`    // m or rad: wanted less final
	Swing     *float64 `json:"swing"`     // s: period of one that rings or trembles
	PeakAmps  float64  `json:"peak_amps"`
	MeanAmps  float64  `json:"mean_amps"`
}

const (
	within = 0.02 // of the step: as there
	last   = 0.2  // of the time, in which the final value is taken
)

// Of reads the figures off a step.
func Of(c *Curve) Figures {
	f := Figures{Verdict: Stays}
	f.PeakAmps, f.MeanAmps = peakAndMean(c.Amps)
	n := len(c.T)
	if n < 2 {
		return f
	}
	step := c.Wanted[n-1]
	wave, rings := Swings(c.T, c.Is, math.Abs(within*step))
	if rings {
		f.Verdict, f.Swing = Rings, &wave.Period
		return f
	}
	if shake, trembles := Trembles(c.T, c.Is, math.Abs(within*small*step)); trembles {
		f.Verdict, f.Swing = Shakes, &shake.Period
		return f
	}
	_, final := peakAndMean(c.Is[n-int(last*float64(n)):])
	if final/step < 0.5 {
		return f
	}
	f.Verdict = Drifts
	settled := n
	for settled > 0 && math.Abs(c.Is[settled-1]-final) <= math.Abs(within*final) {
		settled--
	}
	if settled > n-int(last*float64(n)) {
		if wave.Amplitude > math.Abs(within*step) { // it dies down, but not within the time
			f.Verdict, f.Swing = Rings, &wave.Period
		}
		return f
	}
	f.Verdict = Settles
	peak := 0.0
	for _, x := range c.Is {
		peak = math.Max(peak, x/final)
	}
	over, steady := math.Max(0, peak-1), step-final
	f.Overshoot, f.Steady = &over, &steady
	rise := passes(c, 0.9*final) - passes(c, 0.1*final)
	f.Rise, f.Settling = &rise, ptr(crossing(c, settled, final))
	return f
}

func ptr(x float64) *float64 { return &x }

// crossing is when the curve comes into the band for good, between the sample before the first that stays and that.
func crossing(c *Curve, settled int, final float64) float64 {
	if settled == 0 {
		return c.T[0]
	}
	band := math.Abs(within * final)
	a, b := math.Abs(c.Is[settled-1]-final), math.Abs(c.Is[settled]-final)
	return c.T[settled-1] + float64((c.T[settled]-c.T[settled-1])*(a-band)/(a-b))
}

// passes is when the curve first reaches a value.
func passes(c *Curve, value float64) float64 {
	for i, x := range c.Is {
		if x/value >= 1 {
			if i == 0 {
				return c.T[0]
			}
			before := c.Is[i-1]
			return c.T[i-1] + float64((c.T[i]-c.T[i-1])*(value-before)/(x-before))
		}
	}
	return c.T[len(c.T)-1]
}

// peakAndMean of the sizes of values.
func peakAndMean(list []float64) (peak, mean float64) {
	for _, x := range list {
		peak = math.Max(peak, math.Abs(x))
		mean += x
	}
	return peak, mean / math.Max(1, float64(len(list)))
}

// Behind is how far the loop is behind what is wanted.
func (c *Curve) Behind() []float64 {
	out := make([]float64, len(c.T))
	for i := range out {
		out[i] = c.Wanted[i] - c.Is[i]
	}
	return out
}

// shortest is the least of a step's time that is drawn, s.
const shortest = 1.2

// Shown is how much of steps' time shows that they settle, s; all of it where none does.
func Shown(list ...*Figures) float64 {
	longest := 0.0
	for _, f := range list {
		if f.Settling != nil {
			longest = math.Max(longest, 1.25**f.Settling)
		}
	}
	if longest == 0 {
		return after
	}
	return math.Min(after, math.Max(shortest, longest))
}

// FullRate is the part of a ramp up to where what is wanted moves at its full rate no longer: how far that is behind is
// told.
func (c *Curve) FullRate() int {
	rates, full := c.rates()
	n := len(rates)
	for n > 1 && rates[n-1] <= fullRate*full {
		n--
	}
	return n
}

// fullRate is the share of the greatest rate that counts as full.
const fullRate = 0.95

// rates are those at which what is wanted moves, and the greatest, m/s or rad/s.
func (c *Curve) rates() (list []float64, full float64) {
	list = make([]float64, len(c.T))
	for i := 1; i < len(c.T); i++ {
		list[i] = math.Abs(c.Wanted[i]-c.Wanted[i-1]) / (c.T[i] - c.T[i-1])
		full = math.Max(full, list[i])
	}
	return list, full
}

// Lag is how far a ramp is behind, in the last half of the time in which what is wanted moves at its full rate.
func Lag(c *Curve) float64 {
	rates, full := c.rates()
	var list []float64
	for i, behind := range c.Behind() {
		if rates[i] > fullRate*full {
			list = append(list, behind)
		}
	}
	_, mean := peakAndMean(list[len(list)/2:])
	return mean
}

// Trouble says what became of a step that did not settle.
func (f *Figures) Trouble() string {
	if f.Swing != nil {
		return fmt.Sprintf("%s, a swing every %.2f s", f.Verdict, *f.Swing)
	}
	return string(f.Verdict)
}
