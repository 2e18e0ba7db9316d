package results

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// pathWithin is how far the kept path may lie from the true one: a line's width in a picture of a field.
const pathWithin = 0.008 // m

// path is the robot's way in whole millimetres, thinned: the first point, then the step to each next one.
func path(r *record.Record, own int) []int {
	var out []int
	x, y := 0, 0
	for _, p := range thinned(way(r, own)) {
		px, py := millimetres(p.X), millimetres(p.Y)
		if out != nil && px == x && py == y {
			continue
		}
		out = append(out, px-x, py-y)
		x, y = px, py
	}
	return out
}

// way is where the robot was.
func way(r *record.Record, own int) []geom.Vec {
	list := poses(r, own)
	points := make([]geom.Vec, 0, len(list))
	for _, pose := range list {
		points = append(points, pose.Geom().At())
	}
	return points
}

// poses are the robot's at each sample.
func poses(r *record.Record, own int) []record.Pose {
	if r.Ways != nil {
		return r.Ways[own]
	}
	list := make([]record.Pose, 0, len(r.Samples))
	for _, s := range r.Samples {
		list = append(list, s.Robots[own].True)
	}
	return list
}

func millimetres(m float64) int { return int(math.Round(geom.Clamp(m, -1e3, 1e3) * 1000)) }

// thinned leaves out points while no left-out one lies farther than pathWithin from the line kept (Douglas & Peucker,
// Cartographica 10 (1973) 112, from memory), without recursion.
func thinned(points []geom.Vec) []geom.Vec {
	keep := make([]bool, len(points))
	keep[0], keep[len(points)-1] = true, true
	todo := [][2]int{{0, len(points) - 1}}
	for len(todo) > 0 {
		from, to := todo[len(todo)-1][0], todo[len(todo)-1][1]
		todo = todo[:len(todo)-1]
		far, at := pathWithin, -1
		for i := from + 1; i < to; i++ {
			if d := geom.DistanceToSegment(points[i], points[from], points[to]); d > far {
				far, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			todo = append(todo, [2]int{from, at}, [2]int{at, to})
		}
	}
	var out []geom.Vec
	for i, p := range points {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
}

// Way is the path in metres.
func (r Result) Way() []geom.Vec {
	way := make([]geom.Vec, 0, len(r.Path)/2)
	x, y := 0, 0
	for i := 0; i+1 < len(r.Path); i += 2 {
		x, y = x+r.Path[i], y+r.Path[i+1]
		way = append(way, geom.Vec{X: float64(x) / 1000, Y: float64(y) / 1000})
	}
	return way
}
