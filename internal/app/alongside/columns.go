package alongside

import (
	"cmp"
	"errors"
	"math"

	"chalkfield/internal/app/logfile"
	"chalkfield/sim/robot"
	"chalkfield/sim/sensing"
)

// columns are those of a log that tell how its robot moved, the best there are.
type columns struct {
	log         *logfile.Log
	left, right *logfile.Column // x and y where place is set
	turn        *logfile.Column // nil: the sides tell, or nothing
	unit        [2]float64      // what the sides' values are worth in m, by the robot's own wheels
	place       bool
	track       float64 // m: distance of the sides, for turns that only they tell
	pivot       float64 // m ahead of the robot's origin: does not move to the side
}

var errNoMotion = errors.New("its columns do not tell how the robot moved: it takes x and y, or travel or speed of " +
	"both sides (and better the heading too)")

func columnsOf(l *logfile.Log, spec *robot.Robot) (columns, error) {
	c := columns{log: l, track: spec.Odometry.Track, pivot: spec.Pivot(), unit: [2]float64{1, 1}}
	if c.track <= 0 {
		c.track = spec.EffectiveTrack()
	}
	for _, q := range []logfile.Quantity{logfile.Heading, logfile.Turning} {
		if column := l.Column(q); c.turn == nil && filled(column) {
			c.turn = column
		}
	}
	for _, pair := range [][2]logfile.Quantity{logfile.Place, logfile.Travel, logfile.Speed} {
		c.left, c.right = l.Column(pair[0]), l.Column(pair[1])
		if filled(c.left) && filled(c.right) && (pair != logfile.Place || !l.ByTape()) {
			if c.place = pair == logfile.Place; !c.place {
				c.unit = ownWay(l, spec)
			}
			return c, nil
		}
	}
	return c, errNoMotion
}

// ownWay is how far a side's wheels roll for a metre of the log's travel, which its program made of their turns with
// one radius for both sides: what log.toml says, else the mean of the file's.
func ownWay(l *logfile.Log, spec *robot.Robot) [2]float64 {
	nominal := cmp.Or(l.Wheel, spec.MeanRadius())
	return [2]float64{spec.Radius(robot.Left) / nominal, spec.Radius(robot.Right) / nominal}
}

func filled(c *logfile.Column) bool { return c != nil && c.Filled > 1 }

// String names the columns.
func (c columns) String() string {
	words := map[logfile.Quantity]string{logfile.Place[0]: "x and y", logfile.Travel[0]: "travel of both sides",
		logfile.Speed[0]: "speed of both sides"}[c.left.Is]
	if c.turn != nil {
		words += ", " + c.turn.Is.Name
	}
	return words
}

// turns reports whether the log tells how the robot turned.
func (c columns) turns() bool { return !c.place || c.turn != nil }

// motion is what columns tell at some times: how far the sides have rolled and the robot has turned by then (m, rad; x
// and y instead of the sides), since some time. NaN where the log does not tell.
type motion struct {
	of                columns
	left, right, turn []float64
}

// at reads the motion at rising times of the log's clock.
func (c columns) at(times []float64) motion {
	m := motion{c, c.sum(c.left, times), c.sum(c.right, times), c.sum(c.turn, times)}
	for i := range times {
		m.left[i], m.right[i] = m.left[i]*c.unit[0], m.right[i]*c.unit[1]
	}
	return m
}

// sum gives a column's values at some times, those of a rate summed up by the trapezoidal rule, without what passes in
// gaps.
func (c columns) sum(column *logfile.Column, times []float64) []float64 {
	values := c.log.At(column, times)
	if values == nil || !rate(column) {
		return values
	}
	total, out := 0.0, make([]float64, len(values))
	for i := range values {
		out[i] = math.NaN()
		if i > 0 && known(values[i]) && known(values[i-1]) {
			total += (values[i] + values[i-1]) / 2 * (times[i] - times[i-1])
		}
		if known(values[i]) {
			out[i] = total
		}
	}
	return out
}

func rate(c *logfile.Column) bool {
	return c != nil && (c.Is == logfile.Speed[0] || c.Is == logfile.Speed[1] || c.Is == logfile.Turning)
}

// twist is how the robot moved between two of the times. Where the log tells of no turns its turn is NaN; of x and y
// the way along has no sign.
func (m *motion) twist(from, to int) sensing.Twist {
	l, r, turn := m.left[to]-m.left[from], m.right[to]-m.right[from], math.NaN()
	if m.turn != nil {
		turn = m.turn[to] - m.turn[from]
	}
	if m.of.place {
		return sensing.Twist{Along: math.Hypot(l, r), Turn: turn}
	}
	w := sensing.FromTrains(l, r, m.of.track)
	if m.turn != nil {
		w.Turn = turn
	}
	w.Left = -m.of.pivot * w.Turn
	return w
}

// known reports whether the log tells of motion at one of the times.
func (m *motion) known(i int) bool {
	return known(m.left[i]) && known(m.right[i]) && (m.turn == nil || known(m.turn[i]))
}

// summed reports whether something would be missing behind a gap.
func (m *motion) summed() bool { return rate(m.of.left) || rate(m.of.turn) }

func known(x float64) bool { return !math.IsNaN(x) }
