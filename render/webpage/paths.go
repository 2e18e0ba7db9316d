package webpage

import (
	"fmt"

	"chalkfield/internal/app/report"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// The rows of the pictures' keys that trials and comparisons share.
func pathKey() []keyRow {
	return []keyRow{
		{Swatch: swatch("plan"), Words: "the plan: nothing drawn from the spread"}, {Swatch: swatch("good"), Words: "good"},
		{Swatch: swatch("bad"), Words: "not good"}, crossRow(),
	}
}

func crossRow() keyRow {
	return keyRow{Swatch: crossSwatch(), Words: "where one that was not good first left the plan or failed"}
}

// mostSpots is about how many crosses a picture shows.
const mostSpots = 600

// mark puts a cross at the places of each group, numbered if the group is among the first. Of very many it takes every
// so many-th of each group; the words, for the caption, say so.
func (f *fieldPicture) mark(groups [][][2]float64) (words string) {
	total := 0
	for _, places := range groups {
		total += len(places)
	}
	every := (total + mostSpots - 1) / mostSpots
	for i, places := range groups {
		for k := 0; k < len(places); k += every {
			s := spot{at: geom.Vec{X: places[k][0], Y: places[k][1]}}
			if i < report.Numbered {
				s.number = i + 1
			}
			f.spots = append(f.spots, s)
		}
	}
	if len(f.spots) < total {
		return fmt.Sprintf(" %d of the %d crosses, evenly chosen.", len(f.spots), total)
	}
	return ""
}

// places are where the rehearsals of each group left the plan.
func places(groups []analysis.Group) [][][2]float64 {
	out := make([][][2]float64, len(groups))
	for i := range groups {
		out[i] = groups[i].Places
	}
	return out
}

// ways draws the good paths first, then those that were not, then the plan on top.
func ways(list []*results.Result, good func(*results.Result) bool, plan results.Result) []way {
	var above, below []way
	for _, r := range list {
		switch path := r.Way(); {
		case len(path) == 0:
		case good(r):
			below = append(below, way{class: "good", points: path})
		default:
			above = append(above, way{class: "bad", points: path})
		}
	}
	all := append(below, above...)
	if path := plan.Way(); len(path) > 0 {
		all = append(all, way{class: "plan", points: path})
	}
	return all
}

// pathWords counts the paths that a picture shows of those there are, as the beginning of its caption.
func pathWords(shown, have int) string {
	if shown < have {
		return fmt.Sprintf("%d of the %d paths of the robot's centre, evenly chosen.", shown, have)
	}
	return units.Counted(shown, "path") + " of the robot's centre."
}

// chosen takes at most so many of the results that are there, evenly.
func chosen(all []*results.Result, most int) []*results.Result {
	var have []*results.Result
	for _, r := range all {
		if r != nil {
			have = append(have, r)
		}
	}
	return analysis.Evenly(have, most)
}
