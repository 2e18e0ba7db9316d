package viewmodel

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// moveKind is the kind of a move.
type moveKind int

const (
	resting moveKind = iota
	turning
	straight
	curved
	calling // a macro that drives by itself
)

// move is one motion of a draft.
type move struct {
	kind    moveKind
	reverse bool
	length  float64    // m, straight or curved: of the fitted line
	heading float64    // rad: at the end
	points  []geom.Vec // straight: its end; curved: the points after its start
	from    float64    // s: when it began
	seconds float64
	call    string // calling: what is called, and the button that did it
	button  string
}

// What counts as moving, and what is too little to be meant.
const (
	movingSpeed = 0.05              // m/s along the heading
	turningRate = 0.25              // rad/s on the spot
	tightest    = 0.1               // m: a narrower curve is a turn on the spot that slid
	shortest    = 0.03              // m
	smallest    = 4 * math.Pi / 180 // rad
	restLonger  = 0.4               // s: shorter rests are a hand on its way to another stick
	within      = 0.025             // m: how far the fitted line may be from the path
	flicker     = 5                 // samples: a shorter change of kind joins what was before
)

// movesOf reads a robot's path off samples: straights, turns on the spot and curves.
func movesOf(samples []record.Sample, robot int) []move {
	var moves []move
	for _, span := range spans(samples, robot) {
		if move, ok := span.move(samples, robot); ok {
			moves = append(moves, move)
		}
	}
	return merged(moves)
}

// span is samples[from:to] with one kind of motion; to is shared with the next span's from.
type span struct {
	from, to int
	kind     moveKind // straight for any travel
	reverse  bool
}

func spans(samples []record.Sample, robot int) []span {
	var list []span
	for i := range samples {
		if robot >= len(samples[i].Robots) {
			continue
		}
		kind, reverse := moving(&samples[i].Robots[robot])
		if n := len(list); n > 0 && list[n-1].kind == kind && list[n-1].reverse == reverse {
			list[n-1].to = i
			continue
		}
		list = append(list, span{i, i, kind, reverse})
	}
	return steady(list)
}

func moving(state *record.RobotSample) (moveKind, bool) {
	sin, cos := math.Sincos(state.True[2])
	along, rate := state.Velocity[0]*cos+state.Velocity[1]*sin, math.Abs(state.Velocity[2])
	switch {
	case rate > turningRate && math.Abs(along) < tightest*rate:
		return turning, false
	case math.Abs(along) > movingSpeed:
		return straight, along < 0
	}
	return resting, false
}

// steady joins spans that only flicker to the one before, and like neighbours to each other; then each reaches to the
// start of the next, so that nothing of the path is lost.
func steady(list []span) []span {
	var out []span
	for _, s := range list {
		n := len(out)
		same := n > 0 && out[n-1].kind == s.kind && out[n-1].reverse == s.reverse
		if n > 0 && (same || s.to-s.from < flicker) {
			out[n-1].to = s.to
			continue
		}
		out = append(out, s)
	}
	for i := 0; i+1 < len(out); i++ {
		out[i].to = out[i+1].from
	}
	return out
}

// move fits one span; false if it is too little to be meant.
func (s span) move(samples []record.Sample, robot int) (move, bool) {
	first, last := samples[s.from].Robots[robot].True, samples[s.to].Robots[robot].True
	began := samples[s.from].T
	m := move{kind: s.kind, reverse: s.reverse, heading: last[2], from: began, seconds: samples[s.to].T - began}
	switch s.kind {
	case resting:
		return m, m.seconds >= restLonger
	case turning:
		return m, math.Abs(geom.WrapAngle(last[2]-first[2])) >= smallest
	}
	path := make([]geom.Vec, 0, s.to-s.from+1)
	for i := s.from; i <= s.to; i++ {
		p := samples[i].Robots[robot].True
		path = append(path, geom.Vec{X: p[0], Y: p[1]})
	}
	line := simplified(path, within)
	m.points, m.length = line[1:], length(line)
	if len(line) > 2 {
		m.kind = curved
	}
	return m, m.length >= shortest
}

// merged joins rests that follow each other once what lay between them was dropped.
func merged(moves []move) []move {
	var out []move
	for _, m := range moves {
		if n := len(out); n > 0 && m.kind == resting && out[n-1].kind == resting {
			out[n-1].seconds = m.from + m.seconds - out[n-1].from
			continue
		}
		out = append(out, m)
	}
	return out
}

func length(line []geom.Vec) float64 {
	var sum float64
	for i := 1; i < len(line); i++ {
		sum += math.Hypot(line[i].X-line[i-1].X, line[i].Y-line[i-1].Y)
	}
	return sum
}

// simplified keeps as few of a path's points as leave no other point farther than a distance (m) from the line through
// them. Source: U. Ramer (1972); D. Douglas and T. Peucker (1973); from memory. The first and last point are kept.
func simplified(path []geom.Vec, within float64) []geom.Vec {
	if len(path) < 3 {
		return append([]geom.Vec(nil), path...)
	}
	keep := make([]bool, len(path))
	keep[0], keep[len(path)-1] = true, true
	stack := [][2]int{{0, len(path) - 1}}
	for len(stack) > 0 {
		ends := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		far, at := 0.0, -1
		for i := ends[0] + 1; i < ends[1]; i++ {
			if d := geom.DistanceToSegment(path[i], path[ends[0]], path[ends[1]]); d > far {
				far, at = d, i
			}
		}
		if far > within {
			keep[at] = true
			stack = append(stack, [2]int{ends[0], at}, [2]int{at, ends[1]})
		}
	}
	var out []geom.Vec
	for i, v := range path {
		if keep[i] {
			out = append(out, v)
		}
	}
	return out
}
