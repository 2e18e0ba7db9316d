package scene

import (
	"math"
	"sort"
	"strconv"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// path is the way that a robot took: its true places, thinned, with the step of its speed, and its whole seconds.
type path struct {
	at    []geom.Vec
	t     []float64
	steps []uint8 // of speed, from slow to fast: the shade of the stretch that begins here
	top   float64 // m/s: the speed of the last shade's upper end
	ticks []tick
}

const (
	pathStep  = 0.004 // m between two points that are kept
	standing  = 0.015 // m moved in a second that still counts as standing
	farthest  = 1e4   // m: nothing on a field is farther; keeps drawing finite whatever a file holds
	tickEvery = 1.0   // s
)

func newPaths(rec *record.Record) []path {
	paths := make([]path, len(rec.Header.Robots))
	for robot := range paths {
		paths[robot] = newPath(rec, robot)
	}
	return paths
}

// newPath thins a robot's places: a point is kept when it is far enough from the last one or its step differs.
func newPath(rec *record.Record, robot int) path {
	p := path{top: topSpeed(rec, robot)}
	for _, sample := range rec.Samples {
		if robot >= len(sample.Robots) {
			continue
		}
		state := &sample.Robots[robot]
		at := geom.Vec{X: state.True[0], Y: state.True[1]}
		if !plausible(at) {
			continue
		}
		step := speedStep(math.Hypot(state.Velocity[0], state.Velocity[1]), p.top)
		if n := len(p.at); n > 0 && step == p.steps[n-1] && distance(at, p.at[n-1]) < pathStep {
			continue
		}
		p.at, p.t, p.steps = append(p.at, at), append(p.t, sample.T), append(p.steps, step)
	}
	p.ticks = newTicks(rec, robot)
	return p
}

// stretch is the part of the path between two times.
func (p *path) stretch(from, to float64) (at []geom.Vec, steps []uint8) {
	low := sort.SearchFloat64s(p.t, from)
	high := sort.Search(len(p.t), func(i int) bool { return p.t[i] > to })
	if low >= high {
		return nil, nil
	}
	return p.at[low:high], p.steps[low:high]
}

// topSpeed is the robot's greatest speed, rounded up to a fifth of a metre a second so that a legend reads well.
func topSpeed(rec *record.Record, robot int) float64 {
	var top float64
	for _, sample := range rec.Samples {
		if robot < len(sample.Robots) {
			v := sample.Robots[robot].Velocity
			top = math.Max(top, math.Hypot(v[0], v[1]))
		}
	}
	return math.Max(0.2, math.Ceil(top*5-1e-9)/5)
}

func speedStep(speed, top float64) uint8 {
	return uint8(max(0, min(int(speed/top*speedSteps), speedSteps-1)))
}

// tick is a whole second on a path, or several on which the robot stood.
type tick struct {
	from, to float64 // s
	at       geom.Vec
	heading  float64 // rad: the way it was moving
	words    string
}

// newTicks finds a robot's place at each whole second; seconds on which it did not move are one tick.
func newTicks(rec *record.Record, robot int) []tick {
	var ticks []tick
	next := tickEvery
	for _, sample := range rec.Samples {
		if sample.T < next-1e-9 || robot >= len(sample.Robots) {
			continue
		}
		t := math.Floor(sample.T/tickEvery+1e-9) * tickEvery
		next = t + tickEvery
		state := &sample.Robots[robot]
		at := geom.Vec{X: state.True[0], Y: state.True[1]}
		if !plausible(at) {
			continue
		}
		if n := len(ticks); n > 0 && distance(at, ticks[n-1].at) < standing {
			ticks[n-1].to = t
			continue
		}
		ticks = append(ticks, tick{t, t, at, travel(state), ""})
	}
	for i := range ticks {
		ticks[i].words = ticks[i].name()
	}
	return ticks
}

// name is "3 s", or "3-5 s" for a stand.
func (k tick) name() string {
	words := strconv.FormatFloat(k.from, 'f', -1, 64)
	if k.to > k.from {
		words += "-" + strconv.FormatFloat(k.to, 'f', -1, 64)
	}
	return words + " s"
}

// travel is the direction of motion, or the heading of a robot that stands.
func travel(state *record.RobotSample) float64 {
	if math.Hypot(state.Velocity[0], state.Velocity[1]) > 0.02 {
		return math.Atan2(state.Velocity[1], state.Velocity[0])
	}
	return state.True[2]
}

func distance(a, b geom.Vec) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }

// plausible keeps out places that no field has, NaN among them.
func plausible(v geom.Vec) bool { return math.Abs(v.X) < farthest && math.Abs(v.Y) < farthest }
