package fit

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/app/logfile"
	"chalkfield/internal/base/stats"
	"chalkfield/sim/robot"
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

// sensors reads the noise and the steps of inertial sensor and encoders from the longest stand-still.
func (e *estimation) sensors(out *Result) {
	inertial := false
	for i, s := range e.spec.Sensors {
		switch key := fmt.Sprintf("sensors[%d].", i); {
		case s.Inertial != nil && !inertial:
			inertial = true
			if r := e.longestRest(logfile.Heading); r != nil {
				out.gyro(key+"inertial.", s.Inertial, r)
			}
		case s.Encoder != nil:
			if step := e.encoderStep(logfile.Travel[s.Encoder.Train]); step > fineStep {
				out.sensor(Parameter{Key: key + "encoder.resolution", Unit: "m", Before: s.Encoder.Resolution, After: step,
					Why: "the steps in which travel grows in the logs"})
			}
			r := e.longestRest(logfile.Travel[s.Encoder.Train])
			if r == nil {
				continue
			}
			if own := beyond(r.scatter(), r.grain); own > 0 {
				out.sensor(Parameter{Key: key + "encoder.noise", Unit: "m", Before: s.Encoder.Noise, After: own,
					Why: fmt.Sprintf("readings over %.0f s of %s", r.seconds, r.log)})
			}
		}
	}
}

// sensor adds a value that was read from stand-stills.
func (out *Result) sensor(p Parameter) {
	p.State, p.Settings = Fitted, []Setting{{p.Key, p.After, p.Unit}}
	out.Parameters = append(out.Parameters, p)
}

// gyro reads walk and noise. What the noise of single readings hides of the walk is not told.
func (out *Result) gyro(key string, file *robot.InertialSensor, r *rest) {
	why := fmt.Sprintf("Allan deviation over %.0f s of %s", r.seconds, r.log)
	points := stats.AllanDeviation(r.values, r.step)
	noise, err := stats.ReadAllan(points)
	single := noise.Grain
	if err != nil {
		single = r.scatter()
	}
	walk := Parameter{Key: key + "walk", Unit: "rad/sqrt(s)", Before: file.Walk, After: noise.Walk, Why: why}
	if off := walkOff(points, noise, r.seconds); err == nil && noise.Walk*noise.Walk > wide*off {
		walk.Low = math.Sqrt(noise.Walk*noise.Walk - wide*off)
		walk.High = math.Sqrt(noise.Walk*noise.Walk + wide*off)
		out.sensor(walk)
	} else {
		walk.After, walk.State = file.Walk, Untold
		walk.Why = fmt.Sprintf("in %.0f s the readings' own noise and steps hide it: log a longer stand-still", r.seconds)
		out.Parameters = append(out.Parameters, walk)
	}
	if own := beyond(single, r.grain); own > 0 {
		out.sensor(Parameter{Key: key + "noise", Unit: "rad", Before: file.Noise, After: own, Why: why})
	}
}

// walkOff is the standard error of a walk's square: of an Allan variance of span T over n averages it is 1/sqrt(2 (n -
// 1)) of it (IEEE Std 952 Annex C; from memory), where the walk is most of it, or else at the longest span.
func walkOff(points []stats.Allan, noise stats.GyroNoise, seconds float64) float64 {
	off := math.Inf(1)
	for i, p := range points {
		if walks := noise.Walk*noise.Walk*p.Span > 3*noise.Grain*noise.Grain; walks || i == len(points)-1 {
			off = math.Min(off, p.Span*p.Deviation*p.Deviation/math.Sqrt(2*math.Max(0.5, seconds/p.Span-1)))
		}
	}
	return off
}

// An encoder's step that a routine feels, m, and so many of it tell it. Common practice, no source.
const (
	fineStep   = 0.0003
	fewestStep = 20
)

// encoderStep is the step in which a way grows in all logs: the mean of its smallest changes, which a program rounds up
// or down; 0 where there are too few.
func (e *estimation) encoderStep(q logfile.Quantity) float64 {
	var changes []float64
	for _, r := range e.all {
		c := r.log.Column(q)
		if c == nil || c.Grain() == 0 {
			continue
		}
		for i := 1; i < len(c.Values); i++ {
			if by := math.Abs(c.Values[i] - c.Values[i-1]); by > c.Grain()/2 {
				changes = append(changes, by)
			}
		}
	}
	if len(changes) < fewestStep {
		return 0
	}
	least, sum, n := slices.Min(changes), 0.0, 0
	for _, by := range changes {
		if by < 1.6*least {
			sum, n = sum+by, n+1
		}
	}
	if n < fewestStep {
		return 0
	}
	return sum / float64(n)
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
