package analysis

import (
	"cmp"
	"fmt"
	"slices"

	"chalkfield/internal/app/study/results"
)

// Shown is a point of a sweep's grid whose path a picture shows, with the letter by which it is called.
type Shown struct {
	Point  int
	Letter string
}

// mostPoints is how many points' paths one picture shows: as many as there are lines that are told apart.
const mostPoints = 6

// ShownPoints are the best point, the worst and some in between, evenly in the order of their mean scores. Of points
// with the same path only the first is shown.
func ShownPoints(f *results.File, s Sweep) []Shown {
	var order []int
	for i := range s.Points {
		if r := f.Results[i]; r != nil && len(r.Path) > 0 { // job i is the first rehearsal of point i
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		if a == s.Best || b == s.Best {
			return map[bool]int{true: -1, false: 1}[a == s.Best]
		}
		return cmp.Compare(s.Points[b].Score.Mean, s.Points[a].Score.Mean)
	})
	order = distinctPaths(f, order)
	n := min(mostPoints, len(order))
	shown := make([]Shown, n)
	for k := range shown {
		at := 0
		if n > 1 {
			at = k * (len(order) - 1) / (n - 1)
		}
		shown[k] = Shown{order[at], string(rune('A' + k))}
	}
	return shown
}

// distinctPaths keeps of points with the same path the first.
func distinctPaths(f *results.File, points []int) []int {
	seen := map[string]bool{}
	return slices.DeleteFunc(points, func(point int) bool {
		key := fmt.Sprint(f.Results[point].Path)
		known := seen[key]
		seen[key] = true
		return known
	})
}
