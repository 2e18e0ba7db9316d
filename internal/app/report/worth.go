package report

import (
	"chalkfield/internal/base/geom"
	"fmt"
	"strings"

	"chalkfield/internal/app/worth"
	"chalkfield/internal/base/units"
)

// mostWorth is how many tasks a terminal lists.
const mostWorth = 25

// Worth tells what a field is worth to a robot.
func Worth(in units.System, r *worth.Result) *Document {
	title := fmt.Sprintf("%s: what it is worth to %s", r.Title, strings.Join(strings.Fields(r.Robot), " "))
	d := &Document{In: in, Title: title, Foot: Model, Data: r, Head: []string{title,
		fmt.Sprintf("for %s, from %s, %s, heading %.0f deg; as if in the phase %s", r.Side, in.Number("%.0f mm", r.Start.X),
			in.Sprintf("%.0f mm", r.Start.Y), geom.Degrees(r.Start.Heading), r.Phase), "robot: " + r.Machine}}
	d.Sections = append(d.Sections, tasksOf(in, r))
	if len(r.Cycles) > 0 {
		d.Sections = append(d.Sections, cyclesOf(r))
	}
	left := []string{"of the chance: motors, battery and floor other than in the files, contacts on the way, a jam; it " +
		"has start, odometry, where motions end, goal and piece, and that what lands crooked does not count",
		"what was done before, or can be done on the way: each is looked at alone, from the start",
		"a goal that is worth more with pieces in it is taken as full: to fill it takes its own time",
		"other robots, pieces in the way (they are pushed aside), and what sensors can put right on the way",
		"points that a side has by being ahead, fouls, and what several things are worth together"}
	if len(r.Alone) > 0 {
		left = append(left, "no one thing brings points by: "+strings.Join(r.Alone, ", "))
	}
	d.Sections = append(d.Sections, Section{Title: "What these figures leave out", Lines: points(left...)})
	return d
}

// tasksOf lists what can be done, the best first.
func tasksOf(in units.System, r *worth.Result) Section {
	t := &Table{Columns: heads("#", "what", "#points", "#chance", "#way", "#drive s", "#mechanism s", "#points a second",
		"by"), Most: mostWorth, Rest: fmt.Sprintf("%d more: --json has all", len(r.Tasks)-mostWorth)}
	t.Columns[0].Number = true
	for i, task := range r.Tasks {
		mark := fmt.Sprint(i + 1)
		points := fmt.Sprintf("%g", task.Points)
		if task.Each > 0 {
			points += fmt.Sprintf(" (%g a piece)", task.Each)
		}
		if task.Already {
			t.Add("", task.What, points, "", "", "", "", "-", "already, from the start: stay there, or come back")
			continue
		}
		if task.Not != "" {
			t.Add("", task.What, points, "", "", "", "", "-", task.Not)
			continue
		}
		row := t.Add(mark, task.What, points, fmt.Sprintf("%.0f %%", 100*task.Chance),
			in.Sprintf("%.0f mm", task.Drive.Length),
			fmt.Sprintf("%.1f", task.Drive.Seconds), fmt.Sprintf("%.1f", task.Mechanism), fmt.Sprintf("%.2f", task.PerSecond),
			strings.Join(task.Rules, ", "))
		row.Mark = mark
	}
	s := Section{Title: "Each thing", Table: t, Lead: "points by the game's own scoring, with and without it"}
	if len(r.Tasks) == 0 {
		return Section{Title: "Each thing", Lines: []string{"no thing brings points: the field has no rules for it, or " +
			"the robot nothing to do it with"}}
	}
	return s
}

// cyclesOf is the driver phase: fetch, put, again.
func cyclesOf(r *worth.Result) Section {
	t := &Table{Columns: heads("goal", "#pieces a cycle", "#points a cycle", "#seconds a cycle", "#points a second",
		"#cycles that fit", "#points in all", "until")}
	for _, c := range r.Cycles {
		t.Add(c.Place, fmt.Sprintf("%.2g", c.Pieces), fmt.Sprintf("%.3g", c.Points), fmt.Sprintf("%.1f", c.Seconds),
			fmt.Sprintf("%.2f", c.PerSecond), fmt.Sprint(c.Fit), fmt.Sprintf("%g", c.Total), c.Ends+" is used up")
	}
	return Section{Title: fmt.Sprintf("Cycles of the driver phase, %.4g s", r.Driver), Table: t,
		Lead: "the nearest pieces, as many as the robot holds, into the goal, and again; driven as its motions do"}
}
