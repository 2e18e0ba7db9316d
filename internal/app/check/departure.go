package check

import (
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// Tolerances of a golden record.
type Tolerances struct {
	Place   float64 `toml:"place" unit:"m" default:"1 mm"`
	Heading float64 `toml:"heading" unit:"rad" default:"0.1 deg"`
	Time    float64 `toml:"time" unit:"s" default:"20 ms"` // of each event
	Score   float64 `toml:"score"`                         // points, total and per rule
}

// departures lists how a rehearsal differs from a golden record beyond the tolerances: where the way departs first,
// what is done otherwise, what is scored otherwise.
func (j *judgement) departures(g *golden, within Tolerances) {
	now := goldenOf(j.record)
	if g.head != now.head {
		j.fallAtEnd(fmt.Sprintf("the golden record's rehearsal: %s", g.head), fmt.Sprintf("another rehearsal: %s", now.head))
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
		if first < 0 && (place > 1000*within.Place || turned > geom.Degrees(within.Heading)) {
			first = i
		}
		if place > far {
			far, farthest = place, i
		}
	}
	switch {
	case first >= 0:
		place, turned := apart(g.poses[first], now.poses[first])
		shown := j.words.in.Shown("mm")
		due, off := apartIn(1000*within.Place*shown.Times, place*shown.Times, shown.Decimals(1))
		dueTurn, offTurn := apartIn(geom.Degrees(within.Heading), turned, 2)
		expected := fmt.Sprintf("the way of the golden record within %s %s and %s deg", due, shown.Name, dueTurn)
		j.bend(g, now, first, expected, fmt.Sprintf("departs by %s %s and %s deg", off, shown.Name, offTurn),
			j.words.in.Retold(fmt.Sprintf("; farthest %.0f mm at %.1f s", far, g.poses[farthest].T)))
	case len(g.poses) != len(now.poses):
		j.fallAtEnd("a way as long as the golden record's", fmt.Sprintf("%.1f s long, the golden record %.1f s",
			now.poses[len(now.poses)-1].T, g.poses[len(g.poses)-1].T))
	}
}

// bend notes a departure where it began: the pose that is out of tolerance may only show what an
// earlier line caused. Poses are a tenth of a second apart, so two lines may have driven between the last pose that
// agreed and the first that does not: both are named.
func (j *judgement) bend(g, now *golden, out int, expected, departs, farthest string) {
	begun := out
	for begun > 0 && differ(g.poses[begun-1], now.poses[begun-1]) {
		begun--
	}
	s := Shortfall{Expected: expected, T: g.poses[begun].T}
	s.File, s.Line, s.Ended = j.record.Driving(own, s.T)
	file, line, _ := j.record.Driving(own, g.poses[max(0, begun-1)].T)
	if begun < out {
		departs += fmt.Sprintf(" at %.2f s, after a beginning at %.2f s", g.poses[out].T, s.T)
	}
	switch {
	case s.Ended || s.Line == 0:
	case line > 0 && (line != s.Line || file != s.File):
		departs += fmt.Sprintf(", while %s gave way to %s", j.ran(file, line), j.ran(s.File, s.Line))
	default:
		departs += fmt.Sprintf(", while %s ran", j.ran(s.File, s.Line))
	}
	s.Happened = departs + farthest
	j.miss(s)
}

// differ reports whether two poses are more apart than rounding makes them: a golden file has tenths of a millimetre
// and hundredths of a degree.
func differ(a, b goldenPose) bool {
	place, turned := apart(a, b)
	return place > 0.15 || turned > 0.015
}

// apart gives the distance in mm and the angle in deg.
func apart(a, b goldenPose) (place, turned float64) {
	return math.Hypot(a.At[0]-b.At[0], a.At[1]-b.At[1]),
		math.Abs(geom.Degrees(geom.WrapAngle((a.At[2] - b.At[2]) * math.Pi / 180)))
}

// deeds compares what was done, one after the other; the first difference is told.
func (j *judgement) deeds(g, now *golden, within Tolerances) {
	expected := fmt.Sprintf("the events of the golden record within %.0f ms", 1000*within.Time)
	for i := range max(len(g.events), len(now.events)) {
		switch {
		case i >= len(now.events):
			j.fallAt(g.events[i].T, expected, fmt.Sprintf("no %s (golden: %.2f s), nothing more is done", g.events[i].name(),
				g.events[i].T))
		case i >= len(g.events):
			j.fallAt(now.events[i].T, expected, fmt.Sprintf("%s, which the golden record does not have", now.events[i].name()))
		case g.events[i].name() != now.events[i].name():
			j.fallAt(now.events[i].T, expected, fmt.Sprintf("%s instead of %s (golden: %.2f s)", now.events[i].name(),
				g.events[i].name(), g.events[i].T))
		case math.Abs(g.events[i].T-now.events[i].T) > within.Time+1e-9:
			j.fallAt(now.events[i].T, expected, fmt.Sprintf("%s %+.2f s off (golden: %.2f s)", now.events[i].name(),
				now.events[i].T-g.events[i].T, g.events[i].T))
		default:
			continue
		}
		return
	}
}

func (j *judgement) sheet(g, now *golden, within Tolerances) {
	expected := "the score sheet of the golden record"
	if within.Score > 0 {
		expected += " within " + units.Counted(within.Score, "point")
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
				j.fallAtEnd(expected, fmt.Sprintf("%s: %s for %s, golden %g", row.Rule, units.Counted(points, "point"),
					j.record.Sheet.Sides[side], was))
				return
			}
		}
	}
	for side, total := range now.sheet.Total {
		if was := g.sheet.Total[side]; math.Abs(total-was) > within.Score {
			j.fallAtEnd(expected, fmt.Sprintf("%s for %s, golden %g", units.Counted(total, "point"),
				j.record.Sheet.Sides[side], was))
			return
		}
	}
}
