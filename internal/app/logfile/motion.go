package logfile

import (
	"math"
	"slices"
)

// motion is a log on an even grid of time: what happened in each cell of it, as a mean over the cell. Signals that the
// log does not have are nil; a value that it lacks is NaN, and so is one cell at each gap. Pairs are left, right.
type motion struct {
	dt      float64       // s, a cell
	t       []float64     // s, a cell's begin
	u       [2][]float64  // volts, or shares of unknown volts, at the motors; a row's hold until the next
	unit    string        // of u
	s       [2][]float64  // m/s of the sides, from travel if there is, else from speed
	source  string        // of s: travel, speed
	gauge   [2][]float64  // m/s, from the speed columns where s is from travel
	turn    []float64     // rad/s, from the heading, else from the turning column
	spun    string        // that turn is from: heading, turning
	rate    []float64     // rad/s, from the turning column where turn is from the heading
	course  [2][]float64  // m/s along x and y
	heading []float64     // rad
	step    float64       // m/s that one step of the travel's resolution makes in a cell
	share   [2][]float64  // of the battery, where the log has duty
	supply  []float64     // V of the battery
	columns [2][2]*Column // that u and s come from
}

// onGrid puts a log on a grid of its usual step.
func (l *Log) onGrid() *motion {
	m := &motion{dt: l.step()}
	stretches := l.stretches()
	m.t = make([]float64, 0, cells(stretches, m.dt))
	for _, s := range stretches {
		m.t = s.cells(m.t, m.dt)
	}
	held := func(q Quantity) []float64 { return l.resample(l.Column(q), stretches, holds) }
	m.supply = held(BatteryVolts)
	for side := range 2 {
		m.driven(l, side, held)
		m.goes(l, side, stretches)
		m.course[side] = l.resample(l.Column(Place[side]), stretches, differs)
	}
	if m.u[0] == nil || m.u[1] == nil {
		m.unit = ""
	}
	m.turn = l.resample(l.Column(Heading), stretches, differs)
	m.heading = l.resample(l.Column(Heading), stretches, averages)
	m.rate = l.resample(l.Column(Turning), stretches, averages)
	m.spun = Heading.Name
	if m.turn == nil {
		m.turn, m.rate, m.spun = m.rate, nil, Turning.Name
	}
	return m
}

// driven finds what a side's motors got.
func (m *motion) driven(l *Log, side int, held func(Quantity) []float64) {
	m.u[side], m.unit, m.columns[0][side] = held(Volts[side]), "V", l.Column(Volts[side])
	m.share[side] = held(Duty[side])
	if m.u[side] != nil || m.share[side] == nil {
		return
	}
	m.columns[0][side] = l.Column(Duty[side])
	m.u[side], m.unit = l.ofBattery(m.share[side], m.supply)
}

// ofBattery are the volts that shares stand for: of the battery's, nil if the log does not have them, or of what the
// settings say. Where neither does they stay shares.
func (l *Log) ofBattery(shares, supply []float64) (values []float64, unit string) {
	values = slices.Clone(shares)
	for i := range values {
		switch {
		case supply != nil:
			values[i] *= supply[i]
		case l.motors > 0:
			values[i] *= l.motors
		default:
			return values, share
		}
	}
	return values, "V"
}

// goes finds how fast a side went.
func (m *motion) goes(l *Log, side int, stretches []stretch) {
	way, rate := l.Column(Travel[side]), l.Column(Speed[side])
	m.gauge[side] = l.resample(rate, stretches, averages)
	if way == nil {
		m.s[side], m.gauge[side], m.columns[1][side] = m.gauge[side], nil, rate
		m.source = "speed"
		return
	}
	m.s[side], m.source, m.columns[1][side] = l.resample(way, stretches, differs), "travel", way
	m.step = max(m.step, way.Step*math.Abs(way.scale)/m.dt)
}

// stretch is rows without a gap between them.
type stretch struct{ from, to float64 }

func (l *Log) stretches() []stretch {
	var list []stretch
	from := l.Time[0]
	for _, gap := range l.Clock.Gaps {
		list = append(list, stretch{from, gap.From})
		from = gap.From + gap.Seconds
	}
	return append(list, stretch{from, l.Time[len(l.Time)-1]})
}

// cells appends the begins of a stretch's cells, and one more for the gap behind it.
func (s stretch) cells(t []float64, dt float64) []float64 {
	for i := range s.count(dt) + 1 {
		t = append(t, s.from+float64(float64(i)*dt))
	}
	return t
}

// cells are how many all stretches have, with one for the gap behind each.
func cells(stretches []stretch, dt float64) int {
	total := 0
	for _, s := range stretches {
		total += s.count(dt) + 1
	}
	return total
}

func (s stretch) count(dt float64) int {
	const jitter = 0.01 // of a step, at the last row
	return int(math.Floor((s.to-s.from)/dt + jitter))
}

// The ways in which a column becomes cells.
type way int

const (
	holds    way = iota // a row's value holds until the next: its value at the cell's middle
	averages            // straight lines between rows: the mean of the cell's ends
	differs             // straight lines between rows: the rate of change over the cell
)

// resample gives a column's cells; nil for no column.
func (l *Log) resample(c *Column, stretches []stretch, how way) []float64 {
	if c == nil || c.Filled < 2 {
		return nil
	}
	dt := l.step()
	at := l.cursor(c)
	out := make([]float64, 0, cells(stretches, dt))
	for _, s := range stretches {
		n := s.count(dt)
		before := at.value(s.from, how)
		for i := range n {
			end := s.from + float64(float64(i+1)*dt)
			if how == holds {
				out = append(out, at.value(end-dt/2, how))
				continue
			}
			now := at.value(end, how)
			if how == differs {
				out = append(out, (now-before)/dt)
			} else {
				out = append(out, (now+before)/2)
			}
			before = now
		}
		out = append(out, missing)
	}
	return out
}

// cursor reads a column at rising times.
type cursor struct {
	time, values []float64
	left, right  int // rows with values around the last time; right is len(values) behind the last
	hole         float64
}

func (l *Log) cursor(c *Column) *cursor {
	at := &cursor{time: l.Time, values: c.Values, left: -1, hole: gapRows * max(l.step(), 1/c.Rate)}
	at.right = at.after(-1)
	return at
}

// after is the next row with a value.
func (at *cursor) after(row int) int {
	for row++; row < len(at.values) && !given(at.values[row]); row++ {
	}
	return row
}

func (at *cursor) value(t float64, how way) float64 {
	const tiny = 1e-9 // times are sums of steps
	for at.right < len(at.values) && at.time[at.right] <= t+tiny {
		at.left, at.right = at.right, at.after(at.right)
	}
	if at.left < 0 {
		return missing
	}
	before, x := at.time[at.left], at.values[at.left]
	if at.right == len(at.values) {
		if t-before > at.hole {
			return missing
		}
		return x
	}
	wide := at.time[at.right] - before
	switch {
	case wide > at.hole && t > before+tiny:
		return missing
	case how == holds:
		return x
	}
	return x + float64((at.values[at.right]-x)*max(0, t-before)/wide)
}

// signals are all of a motion's, for what is done to each.
func (m *motion) signals() []*[]float64 {
	return []*[]float64{&m.u[0], &m.u[1], &m.s[0], &m.s[1], &m.gauge[0], &m.gauge[1], &m.turn, &m.rate, &m.course[0],
		&m.course[1], &m.heading, &m.share[0], &m.share[1], &m.supply}
}

// coarse is the motion in cells of at least so many seconds.
func (m *motion) coarse(wide float64) *motion {
	n := max(1, int(math.Round(min(wide/m.dt, float64(len(m.t))))))
	out := *m
	out.dt, out.step = m.dt*float64(n), m.step/float64(n)
	out.t = nil
	for i := 0; i+n <= len(m.t); i += n {
		out.t = append(out.t, m.t[i])
	}
	for _, signal := range out.signals() {
		if *signal != nil {
			*signal = means(*signal, n)
		}
	}
	return &out
}

// means are those of each n values; NaN where one is.
func means(x []float64, n int) []float64 {
	out := make([]float64, 0, len(x)/n)
	for i := 0; i+n <= len(x); i += n {
		sum := 0.0
		for _, v := range x[i : i+n] {
			sum += v
		}
		out = append(out, sum/float64(n))
	}
	return out
}

// halves are mean and half difference of a pair: how the base goes ahead, and how it turns (left positive).
func halves(pair [2][]float64) (ahead, turn []float64) {
	if pair[0] == nil || pair[1] == nil {
		return nil, nil
	}
	ahead, turn = make([]float64, len(pair[0])), make([]float64, len(pair[0]))
	for i := range ahead {
		ahead[i], turn[i] = (pair[1][i]+pair[0][i])/2, (pair[1][i]-pair[0][i])/2
	}
	return ahead, turn
}

// most is the greatest size of a signal.
func most(signals ...[]float64) float64 {
	top := 0.0
	for _, x := range signals {
		for _, v := range x {
			if given(v) {
				top = max(top, math.Abs(v))
			}
		}
	}
	return top
}
