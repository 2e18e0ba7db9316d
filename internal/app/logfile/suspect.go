package logfile

import (
	"fmt"
	"math"
	"strings"
)

// suspicious names what does not fit together in a log, and what to do about it; worthless is the part of it from which
// nothing can be learnt before it is mended. Columns are compared with each other: how fast a side goes with its volts,
// the turning that the sides make with the heading, travel with x and y. A comparison that the drives do not allow (no
// turn, no motion) says nothing.
func (l *Log) suspicious(m *motion) (list, worthless []string) {
	doubt := func(found []string) { list = append(list, found...) }
	refuse := func(found []string) { list, worthless = append(list, found...), append(worthless, found...) }
	refuse(l.oddStep())
	if len(list) > 0 { // nothing that takes time is worth anything
		return list, worthless
	}
	doubt(l.oddClock())
	doubt(l.nothingChanges())
	refuse(l.oddHeading())
	c := m.coarse(0.1)
	oddVolts := l.oddVolts(c)
	if refuse(oddVolts); len(oddVolts) == 0 {
		doubt(l.coarseVolts())
	}
	dead, failing := l.deadEncoders(c)
	refuse(dead)
	doubt(failing) // or a side that its volts do not move
	if len(dead)+len(failing) > 0 {
		return list, worthless
	}
	sides := l.oddSides(c)
	if refuse(sides); len(sides)+len(oddVolts) == 0 { // sizes mean little beside these
		slips, doubts := l.oddScales(c)
		refuse(slips)
		doubt(doubts)
	}
	return list, worthless
}

// oddStep judges the time between rows: a team's loop takes between a millisecond and half a second.
func (l *Log) oddStep() []string {
	step := l.step()
	switch {
	case step >= 2 && l.Clock.Unit == "s":
		return []string{fmt.Sprintf("the rows are %s apart: if the time is in milliseconds, call its column \"time ms\" "+
			"(--columns \"time ms=%s\")", Seconds(step), l.Clock.Header)}
	case step >= 2:
		return []string{fmt.Sprintf("the rows are %s apart: is the time really in %s?", Seconds(step), l.Clock.Unit)}
	case step < 200e-6 && l.Clock.Unit != "s":
		return []string{fmt.Sprintf("the rows are %s us apart: if the time is in seconds, call its column \"time s\" "+
			"(--columns \"time s=%s\")", Figures(step*1e6), l.Clock.Header)}
	}
	return nil
}

// oddHeading finds radians that wrap in a column of degrees.
func (l *Log) oddHeading() []string {
	c := l.Column(Heading)
	if c == nil || c.Unit != "deg" || c.High-c.Low > 6.4 || !c.jumpsBeyond(worth("rad", "deg")*5.5) {
		return nil
	}
	return []string{fmt.Sprintf("the heading goes from %s to %s and starts again: it is in radians; call it \"heading "+
		"rad\" (--columns \"heading rad=%s\")", c.written(c.Low*c.scale), c.written(c.High*c.scale), c.Header)}
}

// oddClock judges gaps and rows of one time.
func (l *Log) oddClock() []string {
	var list []string
	for _, gap := range l.Clock.Gaps {
		if rest := l.Seconds() - gap.Seconds; gap.Seconds > max(60, rest) {
			list = append(list, fmt.Sprintf("the clock jumps by %s at line %d: it was set; cut the file there if the rows "+
				"before do not belong to the drive", Seconds(gap.Seconds), gap.Line))
		}
	}
	if l.Clock.same > len(l.Time) {
		list = append(list, "most rows have the time of the row before: the clock is too coarse; log it in milliseconds")
	}
	return list
}

// nothingChanges: real sensors have some noise. A battery's volts change with what all else of the robot does.
func (l *Log) nothingChanges() []string {
	for _, c := range l.Columns {
		if c.Is != BatteryVolts && c.Filled > 0 && c.High > c.Low {
			return nil
		}
	}
	return []string{fmt.Sprintf("no reading changes in %s: if the robot moved, its program logs something else than its "+
		"sensors and volts", Seconds(l.Seconds()))}
}

// oddVolts finds shares that are called volts and the other way round, from their size.
func (l *Log) oddVolts(m *motion) []string {
	var list []string
	battery := most(m.supply)
	for side := range 2 {
		if c := l.Column(Volts[side]); c != nil {
			list = append(list, oddVolt(c, battery, most(m.s[side]))...)
		}
		if c := l.Column(Duty[side]); c != nil {
			list = append(list, oddDuty(c, most(m.s[side]))...)
		}
	}
	return list
}

// Volts that were rounded: a step of so much, V, and so many different values that it is not the robot's program that
// gives round ones. Common practice, no source.
const (
	coarseStep = 0.05
	manyVolts  = 10
	finerVolts = 0.01
)

// coarseVolts finds volts that were rounded before they were logged: a steady 4.06 V that is logged as 4.1 V looks like
// a motor that is weaker all through a drive.
func (l *Log) coarseVolts() []string {
	var names []string
	step := ""
	for side := range 2 {
		c := l.Column(Volts[side])
		if c == nil || c.Grain() < coarseStep {
			continue
		}
		values := map[float64]bool{}
		for _, v := range c.Values {
			if given(v) {
				values[v] = true
			}
		}
		if len(values) >= manyVolts {
			names, step = append(names, c.Header), Figures(c.Step)+" "+c.Unit
		}
	}
	if names == nil {
		return nil
	}
	return []string{fmt.Sprintf("%s: only multiples of %s: what was given is up to half a step beside what is logged, "+
		"and a fit takes the one for the other; log volts to %g V", strings.Join(names, " and "), step, finerVolts)}
}

// The highest volts that a student robot has are some 24; no such robot goes a metre a second on one volt.
const (
	highVolts  = 30  // V
	eagerSpeed = 1.0 // m/s for a volt
)

func oddVolt(c *Column, battery, speed float64) []string {
	top := most(c.Values)
	switch {
	case top > highVolts && top <= 101, battery > 3 && top > 2*battery && top <= 101:
		return []string{fmt.Sprintf("%s goes up to %s: if it is percent of the battery, call it \"%s %%\" (--columns "+
			"\"%s %%=%s\")", c.Is.called(), c.written(top), c.Is.Name, c.Is.Name, c.Header)}
	case top > highVolts:
		return []string{fmt.Sprintf("%s goes up to %s, which no such robot has: is it in mV, or the motor controller's "+
			"own number?", c.Is.called(), c.written(top))}
	case top > 0 && top <= 1.01 && speed > eagerSpeed*top:
		return []string{fmt.Sprintf("%s goes up to %s only, and the side to %s m/s: if it is a share of the battery, call "+
			"it \"%s share\" (--columns \"%s share=%s\")", c.Is.called(), c.written(top), Figures(speed), c.Is.Name,
			c.Is.Name, c.Header)}
	}
	return nil
}

func oddDuty(c *Column, speed float64) []string {
	top := most(c.Values)
	switch {
	case c.Unit == share && top > 1.5:
		return []string{fmt.Sprintf("%s goes up to %s, and all of the battery is 1: if it is percent, call it \"%s %%\" "+
			"(--columns \"%s %%=%s\")", c.Is.called(), Figures(top), c.Is.Name, c.Is.Name, c.Header)}
	case c.Unit == "%" && top > 0 && top <= 0.0101 && speed > 0.05:
		return []string{fmt.Sprintf("%s goes up to %s only, and the side to %s m/s: if it is a share (1 is all), call it "+
			"\"%s share\" (--columns \"%s share=%s\")", c.Is.called(), c.written(top), Figures(speed), c.Is.Name, c.Is.Name,
			c.Header)}
	case top > 1.5:
		return []string{fmt.Sprintf("%s goes up to %s: more than all of the battery; is it volts?", c.Is.called(),
			c.written(top))}
	}
	return nil
}

// deadEncoders finds sides whose motors get volts and whose travel stands still, all the time (dead) or for some time
// (failing), while the other side or the heading moves.
func (l *Log) deadEncoders(m *motion) (dead, failing []string) {
	for side := range 2 {
		c := m.columns[1][side]
		if c == nil || m.u[side] == nil {
			continue
		}
		from, to := m.deadest(side)
		if to-from < 5 { // half a second
			continue
		}
		if most(m.s[side]) <= m.step {
			words := fmt.Sprintf("%s stands still although its motors get up to %s", c.Is.called(),
				m.columns[0][side].written(most(m.columns[0][side].Values)))
			if m.stuck(side) {
				failing = append(failing, words+", and the robot hardly moves: a side that these volts do not turn, or a dead "+
					"encoder? Another drive tells")
			} else {
				dead = append(dead, words+": a dead encoder? Look at its plug and its port")
			}
			continue
		}
		failing = append(failing, fmt.Sprintf("%s stands still from %s to %s although its motors get volts and the robot "+
			"moves: an encoder that fails? Look at its plug; leave these seconds out", c.Is.called(), Seconds(m.t[from]),
			Seconds(m.end(to))))
	}
	return dead, failing
}

// What a robot goes and turns at least that has a side with a dead encoder, and not one that its volts do not turn.
// Common practice, no source.
const (
	littleWay  = 0.02 // m
	littleTurn = 0.1  // rad
)

// stuck reports whether the robot hardly moves by what else the log says: the other side, and the heading.
func (m *motion) stuck(side int) bool {
	way, turn := m.span(m.s[1-side]), m.span(m.turn)
	return way+turn > 0 && way < littleWay && turn < littleTurn
}

// span is how far apart the places are that a rate comes to.
func (m *motion) span(rate []float64) float64 {
	at, low, high := 0.0, 0.0, 0.0
	for _, v := range rate {
		if given(v) {
			at += float64(v * m.dt)
		}
		low, high = min(low, at), max(high, at)
	}
	return high - low
}

// deadest is the longest run of cells with volts and no travel on a side, although the robot moves.
func (m *motion) deadest(side int) (from, to int) {
	u, s, other := m.u[side], m.s[side], m.s[1-side]
	topVolts, topOther, topTurn := most(u), most(other), most(m.turn)
	whole := most(s) <= m.step
	start := 0
	for i := range u {
		moves := other != nil && math.Abs(other[i]) > 0.1*topOther || m.turn != nil && math.Abs(m.turn[i]) > 0.1*topTurn
		if other == nil && m.turn == nil || whole && topOther == 0 && topTurn == 0 {
			moves = whole
		}
		dead := topVolts > 0 && math.Abs(u[i]) > 0.3*topVolts && s[i] == 0 && moves
		if !dead {
			start = i + 1
		} else if i+1-start > to-from {
			from, to = start, i+1
		}
	}
	return from, to
}
