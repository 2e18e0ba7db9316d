package viewmodel

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/base/record"
	"chalkfield/scripting/history"
)

// LineTime is how long a line of the text shown took.
type LineTime struct {
	Line  int
	Text  string
	Took  float64 // s that tasks stood at it, or in what it called
	Still float64 // s of these in which the main task did, and the robot did not move
}

// Words say how long it took.
func (t LineTime) Words() string {
	if t.Still < 0.05 {
		return fmt.Sprintf("%.2f s", t.Took)
	}
	return fmt.Sprintf("%.2f s, the robot stands for %.2f of it", t.Took, t.Still)
}

const (
	leastTook  = 0.05 // s from which a line is told of
	stillSpeed = 0.02 // m/s of the wheels below which a robot stands
)

// LineTimes are the lines of the text shown that took time, the longest first; nothing while that is not known.
func (d *Model) LineTimes() []LineTime {
	h := d.History(0)
	if h == nil {
		return nil
	}
	source := d.Source()
	if d.timesOf == h && d.timesIn == source.Text {
		return d.times
	}
	still := d.stillAt(h, cmp.Or(source.Module, d.Now.Source.Name))
	var list []LineTime
	for i, l := range d.linesOf(source) {
		if took := history.Seconds(int32(l.Took)); took >= leastTook && i < len(source.Lines) {
			list = append(list, LineTime{i + 1, strings.TrimSpace(source.Lines[i]), took, still[i+1]})
		}
	}
	slices.SortStableFunc(list, func(a, b LineTime) int { return cmp.Compare(b.Took, a.Took) })
	d.timesOf, d.timesIn, d.times = h, source.Text, list
	return list
}

// stillAt is how long the main task stood at each line of a file, or in what it called, while the robot did not move.
func (d *Model) stillAt(h *history.History, file string) map[int]float64 {
	still := map[int]float64{}
	for i, sample := range d.Now.Record.Samples {
		state, ok := d.Now.Index.Robot(0, i)
		moves := ok && math.Max(math.Abs(state.Wheels[0]), math.Abs(state.Wheels[1])) > stillSpeed
		moment, kept := h.At(sample.T)
		if !ok || moves || !kept {
			continue
		}
		for _, task := range moment.Tasks {
			if task.Number != 0 {
				continue
			}
			seen := map[int]bool{}
			for _, frame := range task.Frames {
				if frame.File == file && !seen[frame.Line] {
					seen[frame.Line] = true
					still[frame.Line] += record.SamplePeriod
				}
			}
		}
	}
	return still
}

// EndWords tell when the routine ends, what it scores, and when it ended as it was opened.
func (d *Model) EndWords() string {
	if d.Now == nil || len(d.Now.Record.Header.Robots) == 0 {
		return "Nothing has been rehearsed yet."
	}
	at := ended(d.Now)
	if math.IsNaN(at) {
		return "The routine does not end"
	}
	own := d.Now.Record.Header.Robots[0].Side
	since := ""
	if first := d.first; first != nil && first != d.Now && !math.IsNaN(ended(first)) &&
		first.Setup.Seed == d.Now.Setup.Seed && first.Setup.Nominal == d.Now.Setup.Nominal {
		since = fmt.Sprintf(" (%+.2f)", at-ended(first))
	}
	return fmt.Sprintf("Ends at %.2f s%s, %s %g", at, since, d.OwnSide(), points(d.Now, own))
}
