package fit

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/internal/app/logfile"
)

// recording is a log as the fit uses it.
type recording struct {
	log     *logfile.Log
	volts   [2]*held
	on      [2]*held // 1 while a side gets volts
	coasts  bool     // at 0 V its motors are open
	bearing float64  // rad: heading of the log's x axis against the log's heading; NaN: no place
	course  float64  // rad: the mean heading of the drives that it was found of
	late    float64  // s, found by correlation; NaN: not found
	still   []logfile.Drive
	noise   map[logfile.Quantity]float64
	grains  map[logfile.Quantity]float64 // the largest of all logs
	odd     []string                     // what is suspicious and leaves it of use
	moves   int                          // stretches in which it drives
	unused  string                       // why no drive of it is fitted to, "" if one is, or if it has none
}

// recorded prepares a log, and gives the drives that the reader finds in it.
func recorded(l *logfile.Log) (*recording, []logfile.Drive, error) {
	said := logfile.Describe(l)
	if len(said.Worthless) > 0 {
		return nil, nil, fmt.Errorf("%s: %s", l.Name, strings.Join(said.Worthless, "\n"+l.Name+": "))
	}
	r := &recording{log: l, odd: said.Suspicious, bearing: math.NaN(), late: math.NaN(),
		noise: map[logfile.Quantity]float64{}}
	if said.Latency != nil {
		r.late = said.Latency.Seconds
	}
	var moves []logfile.Drive
	for _, d := range said.Drives {
		if d.What == logfile.StandStill {
			r.still = append(r.still, d)
		} else {
			moves = append(moves, d)
		}
	}
	if err := r.readVolts(); err != nil {
		return nil, nil, err
	}
	if r.volts[0] == nil || r.volts[1] == nil {
		r.unused = r.missing()
		return r, nil, nil
	}
	r.findBearing(moves)
	return r, moves, nil
}

// missing says which volts or duty a log does not have.
func (r *recording) missing() string {
	var sides []string
	for side, name := range [2]string{"left", "right"} {
		if r.log.Column(logfile.Volts[side]) == nil && r.log.Column(logfile.Duty[side]) == nil {
			sides = append(sides, name+" V")
		}
	}
	if sides == nil {
		return "it has no volts of both sides"
	}
	return "it has no " + strings.Join(sides, " and no ")
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

// findBearing finds the direction of the log's heading 0 against its x axis: the rotation (least squares) from where
// travel and heading take each drive's end to be, to where x and y do, both from its start.
func (r *recording) findBearing(moves []logfile.Drive) {
	l := r.log
	x, y := l.Column(logfile.Place[0]), l.Column(logfile.Place[1])
	if x == nil || y == nil {
		return
	}
	var dot, cross, squares, course float64
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
			way := float64(along*along) + float64(aside*aside)
			squares += way
			heading, _ := meanOf(l, l.Column(logfile.Heading), math.Max(low, m.From-quiet), m.From)
			course += float64(way * heading)
		}
	}
	if squares < leastWays || math.Hypot(dot, cross) < 0.5*squares {
		return // spins alone: the noise of x and y
	}
	r.bearing, r.course = math.Atan2(cross, dot), course/squares
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

// grain is a column's step, or where so little moved that none is seen, that of other logs.
func (r *recording) grain(c *logfile.Column) float64 {
	if grain := c.Grain(); grain > 0 {
		return grain
	}
	return r.grains[c.Is]
}

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
	sd := r.grain(c) / math.Sqrt(12)
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
