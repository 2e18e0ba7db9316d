package logfile

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/base/units"
)

// Clock is what the times of the rows show.
type Clock struct {
	Header string
	Unit   string  // the file's
	Rate   float64 // Hz, of the median distance of two rows
	Least  float64 // s between two rows
	Most   float64 // s between two rows that have no gap between them
	Gaps   []Gap
	step   float64 // s, that distance
	same   int     // rows with the time of the row before
}

// Gap is a stretch without rows.
type Gap struct {
	From    float64 // s
	Seconds float64
	Line    int // of the row after it
}

// fewest rows make a log.
const fewest = 4

// gapRows is how many rows' time may pass until the next row before it is a gap. Common practice, no source.
const gapRows = 5

// sameTime is how near two rows' times are the same, s: no robot writes as often.
const sameTime = 1e-9

// finish brings the rows in order and says what each column has. Its errors begin with the line.
func (l *Log) finish(c *Column) error {
	if err := l.straighten(c); err != nil {
		return err
	}
	if len(l.Time) < fewest {
		return tooFew{fmt.Errorf("%d: a log of %s tells nothing: it needs at least %d with different times",
			max(l.lastLine(), 1), units.Counted(len(l.Time), "row"), fewest)}
	}
	l.Clock.Header, l.Clock.Unit = c.Header, c.Unit
	l.measureClock()
	for _, column := range l.Columns {
		l.unwind(column)
		l.measure(column)
	}
	return nil
}

func (l *Log) lastLine() int {
	if len(l.lines) == 0 {
		return 0
	}
	return int(l.lines[len(l.lines)-1])
}

// straighten takes rows of the same time as one, whose later values count, lets a counter of 16 or 32 bits run on that
// the time comes from, and refuses a time that goes back.
func (l *Log) straighten(c *Column) error {
	rows, offset, before, firstSame, overflows := 0, 0.0, 0.0, 0, 0
	for i, raw := range c.Values {
		if i > 0 && raw < before {
			period := clockPeriod(before, raw, c.scale)
			if period == 0 {
				return backwards(c, i, int(l.lines[i]))
			}
			offset += period
			overflows++
		}
		before = raw
		t := raw + offset
		if rows > 0 && t < c.Values[rows-1]+sameTime {
			if l.Clock.same++; l.Clock.same == 1 {
				firstSame = int(l.lines[i])
			}
			l.merge(rows-1, i)
			continue
		}
		l.move(rows, i)
		c.Values[rows] = t
		rows++
	}
	l.Time, l.lines = c.Values[:rows], l.lines[:rows]
	for _, column := range l.Columns {
		column.Values = column.Values[:rows]
	}
	if overflows > 0 {
		l.assume("the time starts again at a full counter %s: counted on", units.Counted(overflows, "time"))
	}
	if l.Clock.same > 0 {
		l.assume("%s with the time of the row before: taken as one with it, the later value counts (first: line %d)",
			units.Counted(l.Clock.same, "row"), firstSame)
	}
	return nil
}

func (l *Log) merge(into, from int) {
	for _, c := range l.Columns {
		if x := c.Values[from]; given(x) {
			c.Values[into] = x
		}
	}
}

func (l *Log) move(to, from int) {
	l.lines[to] = l.lines[from]
	for _, c := range l.Columns {
		c.Values[to] = c.Values[from]
	}
}

// clockPeriod is the time after which a counter of 16 or 32 bits is full, if a fall shows one.
func clockPeriod(before, now, scale float64) float64 {
	for _, bits := range []float64{16, 32} {
		period := math.Exp2(bits) * scale
		if before < period && before > 0.9*period && now >= 0 && now < 0.1*period {
			return period
		}
	}
	return 0
}

func backwards(c *Column, i, line int) error {
	falling := 0
	for k := 1; k < len(c.Values); k++ {
		if c.Values[k] < c.Values[k-1] {
			falling++
		}
	}
	was, is := c.Values[i-1], c.Values[i]
	said := fmt.Sprintf("%d: the time goes back from %s to %s", line, Seconds(was), Seconds(is))
	switch {
	case falling > len(c.Values)/2:
		return fmt.Errorf("%s, as in most rows: the log is written last row first; turn it round", said)
	case is <= c.Values[0]+0.1*(was-c.Values[0]):
		return fmt.Errorf("%s: the clock was started again; cut the file here into two logs", said)
	}
	return fmt.Errorf("%s (%s does so): sort the rows by time if they are out of order, cut the file here if the clock "+
		"was set", said, units.Counted(falling, "row"))
}

// measureClock finds rate and gaps.
func (l *Log) measureClock() {
	steps := make([]float64, len(l.Time)-1)
	for i := range steps {
		steps[i] = l.Time[i+1] - l.Time[i]
	}
	slices.Sort(steps)
	median := steps[len(steps)/2]
	clock := &l.Clock
	clock.Rate, clock.Least, clock.step = 1/median, steps[0], median
	for i := 1; i < len(l.Time); i++ {
		step := l.Time[i] - l.Time[i-1]
		if step > gapRows*median {
			clock.Gaps = append(clock.Gaps, Gap{l.Time[i-1], step, int(l.lines[i])})
		} else {
			clock.Most = max(clock.Most, step)
		}
	}
}

// step is the usual distance of two rows, s.
func (l *Log) step() float64 { return l.Clock.step }

// measure finds rate, range and step of a column.
func (l *Log) measure(c *Column) {
	var steps []float64
	last := -1
	for i, x := range c.Values {
		if !given(x) {
			continue
		}
		if c.Filled++; last >= 0 && len(steps) < 1<<16 {
			steps = append(steps, l.Time[i]-l.Time[last])
		}
		last = i
	}
	if len(steps) > 0 {
		slices.Sort(steps)
		c.Rate = 1 / steps[len(steps)/2]
	}
}

// quantum is what all values are multiples of: the least distance of two different ones, or a part of it down to a
// tenth, of which nearly all distances are multiples. 0 if there is none.
func quantum(values []float64) float64 {
	distances := apart(values)
	if len(distances) < 2 {
		return 0
	}
	least := slices.Min(distances)
	for parts := 1.0; parts <= 10; parts++ {
		odd, near := 0, 0.1 // of a step; sensors' steps are rounded again by what prints them
		if parts > 1 {
			near = 0.02 // few distances are multiples of a small part by chance
		}
		for _, d := range distances {
			if n := d / least * parts; math.Abs(n-math.Round(n)) > near {
				odd++
			}
		}
		if odd*20 <= len(distances) {
			return least / parts
		}
	}
	return 0
}

// apart are the distances of neighbours among a column's different values, the first few thousand of them.
func apart(values []float64) []float64 {
	const most = 4096
	distinct := make([]float64, 0, most)
	before := missing
	for _, x := range values {
		if given(x) && x != before {
			distinct = append(distinct, x)
			before = x
		}
		if len(distinct) == most {
			break
		}
	}
	slices.Sort(distinct)
	var list []float64
	for i := 1; i < len(distinct); i++ {
		d, dust := distinct[i]-distinct[i-1], 1e-9*(math.Abs(distinct[0])+math.Abs(distinct[len(distinct)-1]))
		if d > dust { // less is of the conversion to binary
			list = append(list, d)
		}
	}
	return list
}
