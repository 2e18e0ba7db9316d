package check

import (
	"fmt"
	"math"

	"chalkfield/internal/geom"
	"chalkfield/internal/record"
)

// Tolerances of a golden record.
type Tolerances struct {
	Place   float64 // m
	Heading float64 // rad
	Time    float64 // s: of each event
	Score   float64 // points, total and per rule
}

// departures lists how a rehearsal differs from a golden record beyond the tolerances: where the way departs first, what
// is done otherwise, what is scored otherwise.
func (j *judgement) departures(g *golden, within Tolerances) {
	now := goldenOf(j.record)
	if g.head != now.head {
		j.fallAtEnd(fmt.Sprintf("the golden record's rehearsal: %s", g.head), fmt.Sprintf("another rehearsal: %s; accept the new one with --accept", now.head))
		return
	}
	j.way(g, now, within)
	j.deeds(g, now, within)
	j.sheet(g, now, within)
}

func (h goldenHead) String() string {
	drawn := fmt.Sprintf("seed %d", h.Seed)
	if h.Nominal {
		drawn = "nominal"
	}
	return fmt.Sprintf("%s, session %s, %s", h.Routine, h.Session, drawn)
}

// way compares the poses: where the first one is out of tolerance, and which is farthest.
func (j *judgement) way(g, now *golden, within Tolerances) {
	first, farthest, far := -1, 0, 0.0
	n := min(len(g.poses), len(now.poses))
	for i := range n {
		place, turned := apart(g.poses[i], now.poses[i])
		if first < 0 && (place > 1000*within.Place || turned > degrees(within.Heading)) {
			first = i
		}
		if place > far {
			far, farthest = place, i
		}
	}
	expected := fmt.Sprintf("the way of the golden record within %.1f mm and %.2f deg", 1000*within.Place, degrees(within.Heading))
	switch {
	case first >= 0:
		place, turned := apart(g.poses[first], now.poses[first])
		t := g.poses[first].T
		file, line := j.lineAt(t)
		j.short = append(j.short, Shortfall{Expected: expected, T: t, File: file, Line: line,
			Happened: fmt.Sprintf("departs by %.1f mm and %.2f deg; farthest %.0f mm at %.1f s", place, turned, far, g.poses[farthest].T)})
	case len(g.poses) != len(now.poses):
		j.fallAtEnd(expected, fmt.Sprintf("%.1f s long, the golden record %.1f s", now.poses[len(now.poses)-1].T, g.poses[len(g.poses)-1].T))
	}
}

// apart gives the distance in mm and the angle in deg.
func apart(a, b goldenPose) (place, turned float64) {
	return math.Hypot(a.At[0]-b.At[0], a.At[1]-b.At[1]), math.Abs(degrees(geom.WrapAngle((a.At[2] - b.At[2]) * math.Pi / 180)))
}

// lineAt is where the routine's main task stood at a time.
func (j *judgement) lineAt(t float64) (file string, line int) {
	i := min(int(math.Round(t/record.SamplePeriod)), len(j.record.Samples)-1)
	if lines := j.record.Samples[i].Robots[own].Lines; len(lines) > 0 && lines[0] > 0 {
		return j.robot().Routine.Name, lines[0]
	}
	return "", 0
}

// deeds compares what was done, one after the other; the first difference is told.
func (j *judgement) deeds(g, now *golden, within Tolerances) {
	expected := fmt.Sprintf("the events of the golden record within %.0f ms", 1000*within.Time)
	for i := range max(len(g.events), len(now.events)) {
		switch {
		case i >= len(now.events):
			j.fallAtTime(g.events[i].T, expected, fmt.Sprintf("no %s (golden: %.2f s), nothing more is done", g.events[i].name(), g.events[i].T))
		case i >= len(g.events):
			j.fallAtTime(now.events[i].T, expected, fmt.Sprintf("%s, which the golden record does not have", now.events[i].name()))
		case g.events[i].name() != now.events[i].name():
			j.fallAtTime(now.events[i].T, expected, fmt.Sprintf("%s instead of %s (golden: %.2f s)", now.events[i].name(), g.events[i].name(), g.events[i].T))
		case math.Abs(g.events[i].T-now.events[i].T) > within.Time+1e-9:
			j.fallAtTime(now.events[i].T, expected, fmt.Sprintf("%s %+.2f s off (golden: %.2f s)", now.events[i].name(), now.events[i].T-g.events[i].T, g.events[i].T))
		default:
			continue
		}
		return
	}
}

func (j *judgement) fallAtTime(t float64, expected, happened string) {
	file, line := j.lineAt(t)
	j.short = append(j.short, Shortfall{Expected: expected, Happened: happened, T: t, File: file, Line: line})
}

func (j *judgement) sheet(g, now *golden, within Tolerances) {
	expected := "the score sheet of the golden record"
	if within.Score > 0 {
		expected += fmt.Sprintf(" within %g points", within.Score)
	}
	if len(g.sheet.Rows) != len(now.sheet.Rows) || len(g.sheet.Total) != len(now.sheet.Total) {
		j.fallAtEnd(expected, "another field: other rules or sides")
		return
	}
	for i, row := range now.sheet.Rows {
		for side, points := range row.Points {
			if side >= len(g.sheet.Rows[i].Points) {
				break
			}
			if was := g.sheet.Rows[i].Points[side]; math.Abs(points-was) > within.Score {
				j.fallAtEnd(expected, fmt.Sprintf("%s: %g points for %s, golden %g", row.Rule, points, j.record.Sheet.Sides[side], was))
				return
			}
		}
	}
	for side, total := range now.sheet.Total {
		if was := g.sheet.Total[side]; math.Abs(total-was) > within.Score {
			j.fallAtEnd(expected, fmt.Sprintf("%g points for %s, golden %g", total, j.record.Sheet.Sides[side], was))
			return
		}
	}
}
