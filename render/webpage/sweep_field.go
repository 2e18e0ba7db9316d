package webpage

import (
	"cmp"
	"fmt"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/units"
)

// mostPoints is how many points' paths one picture shows: as many as there are lines that are told apart.
const mostPoints = 6

// shownPoint is a point of the grid whose path is on the picture.
type shownPoint struct {
	point  int
	letter string
	class  string
}

// shownPoints are the best point, the worst and some in between, evenly in the order of their mean scores. Of points
// with the same path only the first is shown.
func shownPoints(f *results.File, s analysis.Sweep) []shownPoint {
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
	shown := make([]shownPoint, n)
	for k := range shown {
		at := 0
		if n > 1 {
			at = k * (len(order) - 1) / (n - 1)
		}
		shown[k] = shownPoint{order[at], string(rune('A' + k)), fmt.Sprintf("point%d", k+1)}
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

// letterOf is the letter of a point on the picture, "" if it is not there.
func letterOf(shown []shownPoint, point int) string {
	for _, p := range shown {
		if p.point == point {
			return p.letter
		}
	}
	return ""
}

// sweepFigure draws the first rehearsal of some points, and where all that were not good left the plan.
func sweepFigure(f *results.File, s analysis.Sweep, shown []shownPoint, leaves []analysis.Leave,
	field *fields.Field) *figure {
	if field == nil || len(shown) == 0 {
		return nil
	}
	pic := fieldPicture{field: field, title: "Paths of points of the sweep on the field"}
	out := &figure{}
	for _, p := range shown {
		pic.ways = append(pic.ways, way{class: p.class, points: f.Results[p.point].Way(), letter: p.letter})
		words := fmt.Sprintf("%s: %s: %.1f", p.letter, s.Points[p.point].Label, s.Points[p.point].Score.Mean)
		if p.point == s.Best {
			words += ", the best"
		}
		out.Key = append(out.Key, keyRow{Swatch: swatch(p.class), Words: words})
	}
	var left [][][2]float64
	for _, l := range leaves {
		left = append(left, l.Places)
	}
	crosses := pic.mark(left)
	out.Pictures = []panel{{SVG: pic.svg()}}
	out.Caption = sweepCaption(f, s, len(shown))
	if len(pic.spots) > 0 {
		out.Key = append(out.Key, crossRow())
		out.Caption += " Crosses: of all rehearsals at all points; numbers: see the table of departures." + crosses
	}
	return out
}

func sweepCaption(f *results.File, s analysis.Sweep, shown int) string {
	which, score := fmt.Sprintf("seed %d", f.Header.Seed), "mean score"
	if s.Nominal {
		which, score = "nothing drawn from the spread", "score"
	}
	at := "every point"
	if shown < len(s.Points) {
		at = fmt.Sprintf("%d of %s, from the best to the worst, the same path only once", shown,
			units.Counted(len(s.Points), "point"))
	}
	return fmt.Sprintf("The path of the robot's centre at %s; %s. Behind each its %s.", at, which, score)
}

// leavesSection lists where rehearsals that were not good left the plan, over all points.
func leavesSection(s analysis.Sweep, leaves []analysis.Leave) section {
	out := section{Title: "Where they first left the plan", Note: fmt.Sprintf(
		"Rehearsals that were not good (fewer than %s, or a routine that failed with an error), at any point, by the first "+
			"thing that went another way than in the plan: "+
			"the nominal rehearsal with nothing varied.", units.Counted(s.Need, "point"))}
	if len(leaves) == 0 {
		out.Note = "Every rehearsal was good."
		return out
	}
	out.Table = &table{Stack: true, Head: heads("", "first departure", "#how many", "#when", "#at points",
		"most often at")}
	for i, l := range leaves {
		words := l.Words
		switch {
		case l.Varies:
			words += ", one of them: " + l.Text
		case l.Text != "":
			words += ": " + l.Text
		}
		out.Table.Rows = append(out.Table.Rows, []cell{
			{Badge: groupBadge(i)}, {Words: words}, {Words: fmt.Sprint(l.Count)}, {Words: fmt.Sprintf("%.2f s", l.T.Median)},
			{Words: fmt.Sprintf("%d of %d", l.Points, len(s.Points))},
			{Words: fmt.Sprintf("%s (%d)", s.Points[l.Most].Label, l.MostHad)},
		})
	}
	return out
}
