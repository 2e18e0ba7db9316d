package desk

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"chalkfield/internal/record"
)

// Difference is what a run changed against the run before it.
type Difference struct {
	Side   string
	Points float64 // of the side of the robot under test, now less before
	Ended  float64 // s: when its routine had ended, now less before; NaN if one of them has not
}

// Compare reads the difference off two finished records.
func Compare(now, before *Run) (Difference, bool) {
	if now == nil || before == nil || len(now.Record.Header.Robots) == 0 || len(before.Record.Header.Robots) == 0 {
		return Difference{}, false
	}
	side := now.Record.Header.Robots[0].Side
	d := Difference{Ended: ended(now) - ended(before), Points: points(now, side) - points(before, side)}
	if side < len(now.Record.Sheet.Sides) {
		d.Side = now.Record.Sheet.Sides[side]
	}
	return d, true
}

func points(r *Run, side int) float64 {
	if side < len(r.Record.Sheet.Total) {
		return r.Record.Sheet.Total[side]
	}
	total, err := strconv.ParseFloat(r.Total(side, math.Inf(1)), 64)
	if err != nil {
		return math.NaN()
	}
	return total
}

// ended is when the robot under test had nothing more to do: the start of the idle samples at the record's end.
func ended(r *Run) float64 {
	samples := r.Record.Samples
	at := math.NaN()
	for i := len(samples) - 1; i >= 0 && samples[i].Robots[0].Doing == record.Idle; i-- {
		at = samples[i].T
	}
	return at
}

// String is the difference in words: "ochre +4 points, routine ends 1.20 s sooner".
func (d Difference) String() string {
	var words []string
	switch {
	case d.Points == 0:
		words = append(words, "same score")
	case !math.IsNaN(d.Points):
		words = append(words, fmt.Sprintf("%s %+g points", d.Side, d.Points))
	}
	switch {
	case math.IsNaN(d.Ended):
	case math.Abs(d.Ended) < record.SamplePeriod/2:
		words = append(words, "routine ends at the same time")
	case d.Ended < 0:
		words = append(words, fmt.Sprintf("routine ends %.2f s sooner", -d.Ended))
	default:
		words = append(words, fmt.Sprintf("routine ends %.2f s later", d.Ended))
	}
	return strings.Join(words, ", ")
}
