package logfile

import (
	"math"
	"slices"

	"chalkfield/internal/base/stats"
)

// AtRest is what the readings do in the longest stand-still.
type AtRest struct {
	From    float64   `json:"from_s"`
	To      float64   `json:"to_s"`
	Columns []Resting `json:"columns"`
}

// Resting is a column at rest, in its own unit.
type Resting struct {
	Header string  `json:"header"`
	Unit   string  `json:"unit"`
	Noise  float64 `json:"noise"` // standard deviation of a reading, by how far neighbours are apart
	Drift  float64 `json:"drift"` // in a minute, from the first to the last second
}

// What a stand-still takes to tell of noise and drift. Common practice, no source.
const (
	longRest = 5.0 // s
	restEnds = 1.0 // s, of which readings are averaged for the drift
)

// moving are the quantities of which noise and drift at rest are told: what sensors say of motion.
var moving = slices.Concat(Travel[:], Speed[:], Place[:], []Quantity{Heading, Turning})

// atRest looks at the longest stand-still; nil if none is long.
func (l *Log) atRest(drives []Drive) *AtRest {
	var out *AtRest
	for _, d := range drives {
		if d.What == StandStill && d.To-d.From >= longRest && (out == nil || d.To-d.From > out.To-out.From) {
			out = &AtRest{From: d.From, To: d.To}
		}
	}
	if out == nil {
		return nil
	}
	for _, c := range l.Columns {
		if slices.Contains(moving, c.Is) {
			if r, told := l.resting(c, out.From, out.To); told {
				out.Columns = append(out.Columns, r)
			}
		}
	}
	return out
}

// resting is what a column does between two times.
func (l *Log) resting(c *Column, from, to float64) (Resting, bool) {
	var apart, first, last []float64
	before := missing
	for i, t := range l.Time {
		v := c.Values[i] / c.scale
		if t < from || t > to || !given(v) {
			continue
		}
		if given(before) {
			apart = append(apart, float64((v-before)*(v-before))/2)
		}
		if before = v; t < from+restEnds {
			first = append(first, v)
		}
		if t > to-restEnds {
			last = append(last, v)
		}
	}
	if len(apart) < 10 || first == nil || last == nil {
		return Resting{}, false
	}
	drift := (stats.Describe(last).Mean - stats.Describe(first).Mean) / (to - from - restEnds) * 60
	return Resting{c.Header, c.Unit, twoDigits(math.Sqrt(stats.Describe(apart).Mean)), twoDigits(drift)}, true
}

// twoDigits rounds to two significant digits: more of a noise is none.
func twoDigits(x float64) float64 {
	if x == 0 {
		return 0
	}
	size := math.Pow(10, 1-math.Floor(math.Log10(math.Abs(x))))
	return math.Round(x*size) / size
}
