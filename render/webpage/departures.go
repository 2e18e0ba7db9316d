package webpage

import (
	"fmt"

	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

const numbered = 8 // groups of departures that the picture and the table number

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
			if i < numbered {
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

// groupBadge is the number by which the picture calls a group; "" for those that it does not number.
func groupBadge(group int) string {
	if group >= numbered {
		return ""
	}
	return badge(group + 1)
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

// departures lists the groups of rehearsals that were not good.
func departures(title string, groups []analysis.Group, good analysis.Share) section {
	s := section{Title: title, Note: "Rehearsals that were not good, by the first thing that went another way than " +
		"in the plan."}
	if len(groups) == 0 {
		s.Note = "Every rehearsal was good."
		return s
	}
	s.Table = &table{Stack: true, Head: heads("", "first departure", "#how many", "#when", "#mean score")}
	for i, g := range groups {
		words := g.What()
		if g.Goes != "" {
			words += "; " + g.Goes
		}
		if g.Good > 0 {
			words += "; " + g.GoodWords()
		}
		s.Table.Rows = append(s.Table.Rows, []cell{
			{Badge: groupBadge(i)}, {Words: words, Command: g.Open},
			{Words: fmt.Sprintf("%d (%.0f %%)", g.Count, 100*float64(g.Count)/float64(good.Of-good.Hits))},
			{Words: fmt.Sprintf("%.2f s", g.T.Median)}, {Words: fmt.Sprintf("%.1f", g.Score)},
		})
	}
	return s
}

// pathWords counts the paths that a picture shows of those there are, as the beginning of its caption.
func pathWords(shown, have int) string {
	if shown < have {
		return fmt.Sprintf("%d of the %d paths of the robot's centre, evenly chosen.", shown, have)
	}
	return units.Counted(shown, "path") + " of the robot's centre."
}
