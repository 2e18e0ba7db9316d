package logfile

import (
	"math"

	"chalkfield/internal/base/units"
)

// unwind lets what the robot counts up (travel, heading) run on where its sensor starts again: at the ends of a turn,
// at a full counter, at a reset. It first notes the range that the file has.
func (l *Log) unwind(c *Column) {
	c.Low, c.High = c.span()
	c.Step = quantum(c.Values) / math.Abs(c.scale)
	fastest, adds := unwound[c.Is]
	if !adds {
		return
	}
	if period := c.period(); period > 0 {
		times, line := l.unwrap(c, period)
		if times > 0 {
			l.assume("%s starts again %s (first: line %d): counted on", c.Is.called(), units.Counted(times, "time"), line)
		}
	}
	l.mendResets(c, fastest)
}

// unwound are the columns that add up, with a speed that none of them has (SI): some times that of any such robot.
var unwound = map[Quantity]float64{Travel[0]: 20, Travel[1]: 20, Heading: 60}

// span is the range of the file's numbers, in its unit.
func (c *Column) span() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, x := range c.Values {
		if given(x) {
			low, high = min(low, x/c.scale), max(high, x/c.scale)
		}
	}
	if low > high {
		return missing, missing
	}
	return low, high
}

// period is after how much a column starts again: a turn, or what a counter holds. Without bits given, a counter of 16
// or 32 is taken for one whose values lie in its range and jump by more than half of it.
func (c *Column) period() float64 {
	scale := math.Abs(c.scale)
	switch {
	case c.Is == Heading && c.bits == 0:
		const jitter = 1.01
		if (c.High-c.Low)*scale > jitter*2*math.Pi {
			return 0 // it counts on beyond a turn by itself
		}
		return 2 * math.Pi
	case c.bits > 0:
		return math.Ldexp(scale, c.bits)
	case c.Unit != tick:
		return 0
	}
	for _, bits := range []int{16, 32} {
		half := math.Ldexp(0.5, bits)
		unsigned, signed := c.Low >= 0 && c.High < 2*half, c.Low >= -half && c.High < half
		if (unsigned || signed) && c.jumpsBeyond(half*scale) {
			return 2 * half * scale
		}
	}
	return 0
}

func (c *Column) jumpsBeyond(most float64) bool {
	before := missing
	for _, x := range c.Values {
		if !given(x) {
			continue
		}
		if math.Abs(x-before) > most {
			return true
		}
		before = x
	}
	return false
}

// unwrap adds a period wherever a column jumps by more than half of one.
func (l *Log) unwrap(c *Column, period float64) (times, line int) {
	offset, before := 0.0, missing
	for i, x := range c.Values {
		if !given(x) {
			continue
		}
		if jump := x - before; math.Abs(jump) > period/2 {
			offset -= period * math.Round(jump/period)
			if times++; times == 1 {
				line = int(l.lines[i])
			}
		}
		before = x
		c.Values[i] = x + offset
	}
	return times, line
}

// mostResets is how many jumps may be resets. More show noise or a wrong unit, which suspect.go names.
const mostResets = 10

// mendResets takes jumps out that no robot makes between two rows: a sensor was set to zero, or one value is wrong.
func (l *Log) mendResets(c *Column, fastest float64) {
	type jump struct {
		row      int
		by, pace float64 // pace: of the step before, which goes on
	}
	var jumps []jump
	last, before := -1, 0.0 // the row with the value before, and the step to it
	for i, x := range c.Values {
		if !given(x) {
			continue
		}
		if last >= 0 {
			step := x - c.Values[last]
			seconds := l.Time[i] - l.Time[last]
			if math.Abs(step) > fastest*seconds && math.Abs(step) > 10*math.Abs(before) && seconds < gapRows*l.step() {
				if jumps = append(jumps, jump{i, step, before}); len(jumps) > mostResets {
					return
				}
				step = before
			}
			before = step
		}
		last = i
	}
	if len(jumps) == 0 {
		return
	}
	offset, next := 0.0, 0
	for i := range c.Values {
		if next < len(jumps) && jumps[next].row == i {
			offset -= jumps[next].by - jumps[next].pace
			next++
		}
		c.Values[i] += offset
	}
	first := jumps[0]
	l.assume("%s jumps %s, first by %s at line %d: taken for a reset, counted on from the value before", c.Is.called(),
		units.Counted(len(jumps), "time"), c.written(first.by), l.lines[first.row])
}
