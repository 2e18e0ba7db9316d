package fit

import (
	"cmp"
	"errors"
	"math"
	"strings"

	"chalkfield/internal/app/logfile"
	"chalkfield/sim"
)

// The stretches that are compared. Common practice, no source.
const (
	cell       = 0.04 // s over which speeds are compared: in shorter ones a coarse encoder's steps are most of them
	before     = 0.1  // s of the stand-still before a drive that belong to it
	behind     = 0.15 // s of the one behind it
	quiet      = 0.3  // s of a stand-still whose readings are averaged for a place
	longest    = 60.0 // s of one drive: in a longer one, errors of the start have grown too much to tell anything
	fewestCell = 4
)

// drive is a stretch of a log, from one stand-still to the next.
type drive struct {
	*recording
	what     string
	from, to float64 // s of the log
	ticks    int
	edges    []float64 // s from the first tick: ends of the cells
	signals  []signal
	ends     []end
	way      float64
	traces   bool
}

// gather finds the drives in all logs, and what else the logs have. A log that makes a fit worthless is an error.
func gather(logs []Input) (list []*drive, all []*recording, err error) {
	var wrong []string
	var found [][]logfile.Drive
	grains := map[logfile.Quantity]float64{}
	for _, in := range logs {
		r, moves, err := recorded(in.Log)
		if err != nil {
			wrong = append(wrong, err.Error())
			continue
		}
		for _, c := range in.Log.Columns {
			grains[c.Is] = math.Max(grains[c.Is], c.Grain())
		}
		r.grains, r.moves = grains, len(moves)
		all, found = append(all, r), append(found, moves)
	}
	if len(wrong) > 0 {
		return nil, nil, errors.New(strings.Join(wrong, "\n"))
	}
	for i, r := range all {
		n := len(list)
		for _, f := range found[i] {
			if d := r.drive(f, found[i]); d != nil {
				list = append(list, d)
			}
		}
		if len(found[i]) > 0 && len(list) == n {
			r.unused = "its drives are too short, or it has no travel or speed of a side, and no heading, while it drives"
		}
	}
	if len(list) == 0 {
		return nil, nil, errors.New("no log has a drive of the base in it: it takes volts or duty of both sides, and " +
			"travel or speed of both sides, while the robot moves; `chalkfield show LOG.csv` says what is in a log")
	}
	return list, all, nil
}

// drive prepares a stretch, nil if too little is known of it.
func (r *recording) drive(f logfile.Drive, all []logfile.Drive) *drive {
	l := r.log
	low, high := l.Time[0], l.Time[len(l.Time)-1]
	for _, other := range all {
		switch {
		case other.To <= f.From:
			low = math.Max(low, other.To)
		case other.From >= f.To:
			high = math.Min(high, other.From)
		}
	}
	d := &drive{recording: r, what: f.What}
	d.from = rowBefore(l.Time, math.Max(low, f.From-before))
	d.to = math.Min(high, math.Min(f.To+behind, d.from+longest))
	rows := math.Max(1, math.Round(cell*l.Clock.Rate))
	width := rows / l.Clock.Rate
	n := int(math.Floor((d.to-d.from)/width + 1e-6))
	if n < fewestCell {
		return nil
	}
	d.to = d.from + float64(float64(n)*width)
	d.ticks = int(math.Ceil((d.to-d.from)/sim.ControlTick - 1e-6))
	times := make([]float64, n+1)
	for i := range times {
		at := float64(i) * width
		d.edges, times[i] = append(d.edges, at), d.from+at
	}
	d.addSignals(times)
	if len(d.signals) == 0 {
		return nil
	}
	d.addEnds(low, math.Min(high, d.to+quiet))
	return d
}

// rowBefore is the time of the last row that is not later than t, or of the first.
func rowBefore(time []float64, t float64) float64 {
	best := time[0]
	for _, x := range time {
		if x > t+1e-9 {
			break
		}
		best = x
	}
	return best
}

func (d *drive) cellTimes() []float64 {
	times := make([]float64, len(d.edges))
	for i, e := range d.edges {
		times[i] = d.from + e
	}
	return times
}

// middleWay is how far the middle went, all of it counted forwards, m.
func (d *drive) middleWay() float64 {
	sum := 0.0
	left, right := d.signal(leftSpeed), d.signal(rightSpeed)
	if left == nil || right == nil {
		return 0
	}
	for i := range left.values {
		if v := (left.values[i] + right.values[i]) / 2; v == v {
			sum += float64(math.Abs(v) * (d.edges[i+1] - d.edges[i]))
		}
	}
	return sum
}

// sidesWay is how far a side went, in the mean of both, all of it counted forwards, m.
func (d *drive) sidesWay() float64 {
	sum := 0.0
	for _, s := range d.signals {
		if s.kind != leftSpeed && s.kind != rightSpeed {
			continue
		}
		for i, v := range s.values {
			if v == v {
				sum += float64(math.Abs(v) / 2 * (d.edges[i+1] - d.edges[i]))
			}
		}
	}
	return sum
}

// bySize puts the longest first.
func bySize(a, b *drive) int { return cmp.Compare(b.ticks, a.ticks) }
