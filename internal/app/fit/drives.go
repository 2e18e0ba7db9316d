package fit

import (
	"cmp"
	"errors"
	"fmt"
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

// recording is a log as the fit uses it.
type recording struct {
	log     *logfile.Log
	volts   [2]*held
	on      [2]*held // 1 while a side gets volts
	coasts  bool     // at 0 V its motors are open
	bearing float64  // rad: heading of the log's x axis against the log's heading; NaN: no place
	late    float64  // s, found by correlation; NaN: not found
	still   []logfile.Drive
	noise   map[logfile.Quantity]float64
	odd     []string // what is suspicious and leaves it of use
}

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

// signal is what a log says, cell by cell; NaN where it says nothing.
type signal struct {
	kind   kind
	values []float64
	pure   float64 // its noise as the sensors make it
	noise  float64 // with what is always allowed for
	at     int     // of its first residual
}

// end is what a log says of a drive as a whole.
type end struct {
	kind  kind
	value float64
	noise float64
	at    int
}

// kind is which quantity.
type kind int

const (
	leftSpeed kind = iota
	rightSpeed
	turning
	leftAmps
	rightAmps
	endLeft
	endRight
	endHeading
	endAlong
	endAcross
	kinds
)

// gather finds the drives in all logs, and what else the logs have. A log that makes a fit worthless is an error.
func gather(logs []Input) (list []*drive, all []*recording, err error) {
	var wrong []string
	for _, in := range logs {
		r, found, err := recorded(in.Log)
		if err != nil {
			wrong = append(wrong, err.Error())
			continue
		}
		all = append(all, r)
		for _, f := range found {
			if d := r.drive(f, found); d != nil {
				list = append(list, d)
			}
		}
	}
	if len(wrong) > 0 {
		return nil, nil, errors.New(strings.Join(wrong, "\n"))
	}
	if len(list) == 0 {
		return nil, nil, errors.New("no log has a drive of the base in it: it takes volts or duty of both sides, and travel or " +
			"speed of both sides, while the robot moves; `chalkfield show LOG.csv` says what is in a log")
	}
	return list, all, nil
}

// recorded prepares a log, and gives the drives that the reader finds in it.
func recorded(l *logfile.Log) (*recording, []logfile.Drive, error) {
	said := logfile.Describe(l)
	if len(said.Worthless) > 0 {
		return nil, nil, fmt.Errorf("%s: %s", l.Name, strings.Join(said.Worthless, "\n"+l.Name+": "))
	}
	r := &recording{log: l, odd: said.Suspicious, bearing: math.NaN(), late: math.NaN(), noise: map[logfile.Quantity]float64{}}
	if said.Latency != nil {
		r.late = said.Latency.Seconds
	}
	var moves []logfile.Drive
	for _, d := range said.Drives {
		if d.What == "stand-still" {
			r.still = append(r.still, d)
		} else {
			moves = append(moves, d)
		}
	}
	if err := r.readVolts(); err != nil {
		return nil, nil, err
	}
	if r.volts[0] == nil {
		return r, nil, nil
	}
	r.bearing = r.findBearing(moves)
	return r, moves, nil
}

// readVolts finds what the motors got: what was given, cut to what the battery had at the end of the row's time.
func (r *recording) readVolts() error {
	l := r.log
	supply := l.At(l.Column(logfile.BatteryVolts), l.Time)
	for side := range 2 {
		values, unit := l.DriveAt(side, l.Time)
		switch unit {
		case "":
			return nil
		case "V":
		default:
			return fmt.Errorf("%s: duty is a share of the battery's volts, which the log does not have: log \"battery V\", or "+
				"write battery = \"12.4 V\", with your own number, into log.toml beside the log", l.Name)
		}
		on := make([]float64, len(values))
		for i, v := range values {
			if v != v {
				values[i] = 0
				continue
			}
			if i+1 < len(supply) && l.Column(logfile.Volts[side]) != nil && supply[i+1] > 0 {
				values[i] = math.Max(-supply[i+1], math.Min(supply[i+1], v))
			}
			if v != 0 {
				on[i] = 1
			}
		}
		r.volts[side], r.on[side] = newHeld(l.Time, values), newHeld(l.Time, on)
	}
	return nil
}

// leastWays is how much way it takes to find a bearing: the sum of the squares of the drives' ways, m^2.
const leastWays = 0.02

// findBearing is the direction of the log's heading 0 against its x axis: the rotation (least squares) from where travel
// and heading take each drive's end to be, to where x and y do, both from its start.
func (r *recording) findBearing(moves []logfile.Drive) float64 {
	l := r.log
	x, y := l.Column(logfile.Place[0]), l.Column(logfile.Place[1])
	if x == nil || y == nil {
		return math.NaN()
	}
	var dot, cross, squares float64
	for i, m := range moves {
		low, high := l.Time[0], l.Time[len(l.Time)-1]
		if i > 0 {
			low = moves[i-1].To
		}
		if i+1 < len(moves) {
			high = moves[i+1].From
		}
		moved := func(c *logfile.Column) float64 {
			began, n := meanOf(l, c, math.Max(low, m.From-quiet), m.From)
			ended, k := meanOf(l, c, m.To+behind, math.Min(high, m.To+behind+quiet))
			if n == 0 || k == 0 {
				return math.NaN()
			}
			return ended - began
		}
		along, aside := r.reckoned(math.Max(low, m.From-before), math.Min(high, m.To+behind))
		dx, dy := moved(x), moved(y)
		if part := float64(along*dx) + float64(aside*dy); part == part {
			dot += part
			cross += float64(along*dy) - float64(aside*dx)
			squares += float64(along*along) + float64(aside*aside)
		}
	}
	if squares < leastWays || math.Hypot(dot, cross) < 0.5*squares {
		return math.NaN() // spins alone: the noise of x and y
	}
	return math.Atan2(cross, dot)
}

// reckoned is how far travel and heading take the robot from one time to another, along the axes of the heading.
func (r *recording) reckoned(from, to float64) (x, y float64) {
	l, times := r.log, grid(from, to, 1/r.log.Clock.Rate)
	left, right := l.At(l.Column(logfile.Travel[0]), times), l.At(l.Column(logfile.Travel[1]), times)
	heading := l.At(l.Column(logfile.Heading), times)
	if left == nil || right == nil || heading == nil {
		return math.NaN(), math.NaN()
	}
	for i := 1; i < len(times); i++ {
		way := (left[i] - left[i-1] + right[i] - right[i-1]) / 2
		sin, cos := math.Sincos((heading[i] + heading[i-1]) / 2)
		if way == way && sin == sin {
			x, y = x+float64(way*cos), y+float64(way*sin)
		}
	}
	return x, y
}

// grid is times so far apart from one to another.
func grid(from, to, step float64) []float64 {
	n := int(math.Round((to - from) / step))
	times := make([]float64, max(0, n)+1)
	for i := range times {
		times[i] = from + float64(float64(i)*step)
	}
	return times
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

// floor is what is always allowed for: of the greatest size of a signal. A real robot's motion is not smoother.
const floor = 0.002

// addSignals compares speeds of the sides, the turning rate, and currents.
func (d *drive) addSignals(times []float64) {
	for side := range 2 {
		d.add(leftSpeed+kind(side), times, logfile.Travel[side], logfile.Speed[side])
	}
	d.add(turning, times, logfile.Heading, logfile.Turning)
	for side, name := range [2]string{"left", "right"} {
		d.add(leftAmps+kind(side), times, logfile.Quantity{}, logfile.Quantity{Name: name, SI: "A"})
	}
}

// add compares how fast a way grows, or if the log has none, the rate itself.
func (d *drive) add(k kind, times []float64, way, rate logfile.Quantity) {
	l, s := d.log, signal{kind: k}
	width := times[1] - times[0]
	if way := l.Column(way); way != nil {
		values := l.At(way, times)
		for i := range times[1:] {
			s.values = append(s.values, (values[i+1]-values[i])/width)
		}
		s.noise = math.Sqrt2 * d.stillNoise(way) / width
	} else if rate := l.Column(rate); rate != nil {
		values := l.At(rate, times)
		for i := range times[1:] {
			v := (values[i+1] + values[i]) / 2
			if k == leftAmps || k == rightAmps {
				v = math.Abs(v)
			}
			s.values = append(s.values, v)
		}
		s.noise = d.stillNoise(rate)
	} else {
		return
	}
	top, known := 0.0, 0
	for _, v := range s.values {
		if v == v {
			top = math.Max(top, math.Abs(v))
			known++
		}
	}
	if known < fewestCell {
		return
	}
	s.pure, s.noise = s.noise, math.Hypot(s.noise, float64(floor*math.Max(top, least[k])))
	d.signals = append(d.signals, s)
}

// least is what a signal's floor is a share of, where the robot hardly moves: m/s, rad/s, A.
var least = [kinds]float64{leftSpeed: 0.2, rightSpeed: 0.2, turning: 0.5, leftAmps: 1, rightAmps: 1}

// stillNoise is the standard deviation of a column's readings about a straight line while the robot stands, and not
// below what its step makes.
func (r *recording) stillNoise(c *logfile.Column) float64 {
	if known, is := r.noise[c.Is]; is {
		return known
	}
	sum, freedom := 0.0, 0
	for _, s := range r.still {
		var t, y []float64
		for i, at := range r.log.Time {
			if at >= s.From+0.1 && at <= s.To-0.1 && c.Values[i] == c.Values[i] {
				t, y = append(t, at), append(y, c.Values[i])
			}
		}
		if len(t) > 10 {
			sum += offLine(t, y)
			freedom += len(t) - 2
		}
	}
	sd := c.Grain() / math.Sqrt(12)
	if freedom > 0 {
		sd = math.Max(sd, math.Sqrt(sum/float64(freedom)))
	}
	r.noise[c.Is] = sd
	return sd
}

// offLine is the sum of the squares that are left over a straight line through points.
func offLine(t, y []float64) float64 {
	var mt, my, tt, ty, yy float64
	for i := range t {
		mt, my = mt+t[i]/float64(len(t)), my+y[i]/float64(len(t))
	}
	for i := range t {
		tt += float64((t[i] - mt) * (t[i] - mt))
		ty += float64((t[i] - mt) * (y[i] - my))
		yy += float64((y[i] - my) * (y[i] - my))
	}
	return math.Max(0, yy-ty*ty/tt)
}

// The ends' floors: of the way, and what no tape or camera sees.
const (
	endShare   = 0.002
	endPlace   = 0.001 // m
	endTurning = 0.001 // rad
)

// addEnds compares how far the sides and the heading came, and where the robot then stands.
func (d *drive) addEnds(low, high float64) {
	last := d.from + d.edges[len(d.edges)-1]
	began := func(c *logfile.Column) (float64, int) { return meanOf(d.log, c, math.Max(low, d.from-quiet), d.from) }
	ended := func(c *logfile.Column) (float64, int) { return meanOf(d.log, c, last, high) }
	diff := func(c *logfile.Column) (value, noise float64, ok bool) {
		if c == nil {
			return 0, 0, false
		}
		a, n := began(c)
		b, m := ended(c)
		return b - a, d.stillNoise(c) * math.Sqrt(1/float64(n)+1/float64(m)), n > 0 && m > 0
	}
	var ways [2]float64
	for side := range 2 {
		c := d.log.Column(logfile.Travel[side])
		value, noise, ok := diff(c)
		if !ok {
			continue
		}
		ways[side] = d.variation(c)
		noise = math.Max(noise, c.Grain()/math.Sqrt(6)) + float64(endShare*ways[side])
		d.ends = append(d.ends, end{kind: endLeft + kind(side), value: value, noise: noise})
	}
	d.way = d.middleWay()
	headings := d.log.Column(logfile.Heading)
	if value, noise, ok := diff(headings); ok {
		noise = math.Max(noise, headings.Grain()/math.Sqrt(6)) + float64(endShare*d.variation(headings)) + endTurning
		d.ends = append(d.ends, end{kind: endHeading, value: value, noise: noise})
	}
	x, nx, okX := diff(d.log.Column(logfile.Place[0]))
	y, ny, okY := diff(d.log.Column(logfile.Place[1]))
	if !okX || !okY || d.bearing != d.bearing || headings == nil {
		return
	}
	start, _ := began(headings)
	sin, cos := math.Sincos(start + d.bearing)
	noise := math.Max(nx, ny) + endPlace + float64(endShare*math.Max(d.way, (ways[0]+ways[1])/2))
	d.ends = append(d.ends, end{kind: endAlong, value: float64(cos*x) + float64(sin*y), noise: noise},
		end{kind: endAcross, value: float64(cos*y) - float64(sin*x), noise: noise})
}

// meanOf is that of a column's rows between two times.
func meanOf(l *logfile.Log, c *logfile.Column, from, to float64) (mean float64, n int) {
	for i, t := range l.Time {
		if v := c.Values[i]; t >= from-1e-9 && t <= to+1e-9 && v == v {
			mean += v
			n++
		}
	}
	return mean / float64(max(1, n)), n
}

// variation is how far a quantity went in all, to and fro.
func (d *drive) variation(c *logfile.Column) float64 {
	sum, values := 0.0, d.log.At(c, d.cellTimes())
	for i := 1; i < len(values); i++ {
		if step := math.Abs(values[i] - values[i-1]); step == step {
			sum += step
		}
	}
	return sum
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

// signal gives one, nil if the drive has none of it.
func (d *drive) signal(k kind) *signal {
	for i := range d.signals {
		if d.signals[i].kind == k {
			return &d.signals[i]
		}
	}
	return nil
}

// end gives one, nil if the drive has none of it.
func (d *drive) end(k kind) *end {
	for i := range d.ends {
		if d.ends[i].kind == k {
			return &d.ends[i]
		}
	}
	return nil
}

// bySize puts the longest first.
func bySize(a, b *drive) int { return cmp.Compare(b.ticks, a.ticks) }
