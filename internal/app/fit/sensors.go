package fit

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/internal/app/logfile"
	"chalkfield/internal/base/stats"
)

// longStill is how long a robot must stand for its sensors' noise to be read, s. Common practice, no source.
const longStill = 10.0

// rest is a column of a log while the robot stands.
type rest struct {
	values  []float64
	step    float64 // s
	seconds float64
	log     string
	grain   float64
}

// longestRest is the longest one of a quantity, nil if none is long enough.
func (e *estimation) longestRest(q logfile.Quantity) *rest {
	var best *recording
	var from, to float64
	for _, r := range e.all {
		for _, s := range r.still {
			if s.To-s.From > math.Max(longStill, to-from) && r.log.Column(q) != nil {
				best, from, to = r, s.From, s.To
			}
		}
	}
	if best == nil {
		return nil
	}
	c, out := best.log.Column(q), &rest{step: 1 / best.log.Clock.Rate, seconds: to - from, log: best.log.Name}
	out.grain = best.grain(c)
	for _, v := range best.log.At(c, grid(from, to, out.step)) {
		if v == v {
			out.values = append(out.values, v)
		}
	}
	return out
}

// sensors reads the noise of inertial sensor and encoders from the longest stand-still.
func (e *estimation) sensors(out *Result) {
	add := func(key, unit string, before, after float64, why string) {
		out.Parameters = append(out.Parameters, Parameter{Key: key, Unit: unit, Before: before, After: after, State: Fitted,
			Why: why, Settings: []Setting{{key, after, unit}}})
	}
	inertial := false
	for i, s := range e.spec.Sensors {
		switch key := fmt.Sprintf("sensors[%d].", i); {
		case s.Inertial != nil && !inertial:
			inertial = true
			r := e.longestRest(logfile.Heading)
			if r == nil {
				continue
			}
			if noise, err := stats.ReadAllan(stats.AllanDeviation(r.values, r.step)); err == nil {
				why := fmt.Sprintf("Allan deviation over %.0f s of %s", r.seconds, r.log)
				if noise.Walk > 0 {
					add(key+"inertial.walk", "rad/sqrt(s)", s.Inertial.Walk, noise.Walk, why)
				}
				if own := beyond(noise.Grain, r.grain); own > 0 {
					add(key+"inertial.noise", "rad", s.Inertial.Noise, own, why)
				}
			}
		case s.Encoder != nil:
			r := e.longestRest(logfile.Travel[s.Encoder.Train])
			if r == nil {
				continue
			}
			if own := beyond(r.scatter(), r.grain); own > 0 {
				add(key+"encoder.noise", "m", s.Encoder.Noise, own, fmt.Sprintf("readings over %.0f s of %s", r.seconds, r.log))
			}
		}
	}
}

// scatter is the standard deviation of readings by how far neighbours are apart, so that a drift counts for nothing.
func (r *rest) scatter() float64 {
	sum := 0.0
	for i := 1; i < len(r.values); i++ {
		apart := r.values[i] - r.values[i-1]
		sum += float64(apart * apart)
	}
	return math.Sqrt(sum / 2 / math.Max(1, float64(len(r.values)-1)))
}

// beyond is what noise has beside that of a rounding to steps, whose variance is a twelfth of the step's square; 0
// where it is hardly more than that.
func beyond(noise, step float64) float64 {
	const clear = 2 // times its variance
	if rounded := step * step / 12; noise*noise > clear*rounded {
		return math.Sqrt(noise*noise - rounded)
	}
	return 0
}

// fewestRepeats tell a spread.
const fewestRepeats = 3

// spread reads how alike the starts of repeats are, from logs called so whose place and heading are not counted from
// their own start.
func (e *estimation) spread(out *Result) {
	var x, y, heading []float64
	for _, r := range e.all {
		if !strings.Contains(strings.ToLower(r.log.Name), "repeat") {
			continue
		}
		first := func(list []float64, q logfile.Quantity) []float64 {
			if c := r.log.Column(q); c != nil {
				if mean, n := meanOf(r.log, c, r.log.Time[0], r.log.Time[0]+quiet); n > 0 {
					return append(list, mean)
				}
			}
			return list
		}
		x, y, heading = first(x, logfile.Place[0]), first(y, logfile.Place[1]), first(heading, logfile.Heading)
	}
	add := func(key, unit string, before, sd float64) {
		out.Parameters = append(out.Parameters, Parameter{Key: key, Unit: unit, Before: before, After: sd, State: Fitted,
			Why: fmt.Sprintf("standard deviation of %d starts", len(x)), Settings: []Setting{{key, sd, unit}}})
	}
	if len(x) < fewestRepeats || len(y) != len(x) {
		return
	}
	if sd := math.Hypot(stats.Describe(x).SD, stats.Describe(y).SD) / math.Sqrt2; sd > 0.001 {
		add("spread.start_at", "m", e.spec.Spread.StartAt, sd)
		if len(heading) == len(x) && stats.Describe(heading).SD > 0.002 {
			add("spread.start_heading", "rad", e.spec.Spread.StartHeading, stats.Describe(heading).SD)
		}
	}
}
