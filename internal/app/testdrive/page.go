package testdrive

import (
	"fmt"
	"strings"
)

// Section is a part of the page that goes to the robot on paper: it is printed from README.md or from the report.
type Section struct {
	Title string
	Lines []string   // paragraphs
	List  []string   // points, after the paragraphs
	Head  []string   // of the table; nil: none
	Rows  [][]string // of the table
}

// Picture is the file beside the page that draws the drives.
const Picture = "drives.svg"

// Title is the page's.
func (p *Plan) Title() string {
	return "Test drives for " + strings.Join(strings.Fields(p.Robot.Title), " ") // a title may have several lines
}

// Page says how to drive and what to measure.
func (p *Plan) Page() []Section {
	return []Section{p.cautions(), p.setUp(), p.table(), p.playing(), p.logging(), p.measuring(), p.rehearsed()}
}

func (p *Plan) cautions() Section {
	return Section{Title: "Before you begin", List: []string{
		"The event's own rules and the people responsible for the site decide.",
		"First time: robot on blocks, every table once, and see that all turns the right way. Ahead is positive.",
		"A person at the disable switch who does nothing else. Eye protection on. Nobody in the room's rectangle.",
		"Air released before hands go in; nothing on board that can fall off.",
		"Put the program's stop button into the loop that plays the table. " + p.slowFirst(),
		p.Tipping(),
		"The drives were rehearsed with a model of your robot. If one goes another way than drawn, stop, and look for the " +
			"reason first: sides swapped, a sign, percent for volts.",
	}}
}

func (p *Plan) slowFirst() string {
	if p.Has("ramp") {
		return "Start with `ramp`: it is slow."
	}
	return "The slow `ramp` is left out: start with the drive that moves at the least volts."
}

func (p *Plan) setUp() Section {
	c := p.Robot.Chassis
	s := Section{Title: "Set up", Lines: []string{
		fmt.Sprintf("Tape a rectangle of %s on the floor that you play on, flat, clean and dry. Its lower left corner "+
			"is (0, 0); x runs along the longer side, y to its left.",
			p.Room),
		fmt.Sprintf("For each drive mark the place below. It is that of the middle of the robot's outline of %.0f mm x "+
			"%.0f mm: a cross on the floor, and two strips along the robot's left side and rear, so that you find it again. "+
			"The robot looks along x.", c.Length*1000, c.Width*1000),
		"Battery charged; change it when its volts at rest have fallen by 3 %. Let the motors cool between drives.",
	}}
	var parts []string
	for _, part := range p.Robot.Parts {
		parts = append(parts, part.Name)
	}
	if parts != nil {
		s.Lines = append(s.Lines, "Parts that a drive does not move stay as at a match's start: "+
			strings.Join(parts, ", ")+".")
	}
	return s
}

func (p *Plan) table() Section {
	s := Section{Title: "The drives, in this order", Head: []string{"log", "what it does", "tells", "start x, y",
		"needs", "takes", "most"}, Lines: []string{"Each begins with a second of stand-still and ends with one: keep " +
		"logging. *Needs* is the rectangle that all rehearsals stayed in, outline and all."}}
	for _, d := range p.Drives {
		size := extent{d.Reach[0], d.Reach[1]}.size()
		rest := ""
		if d.Coasts {
			rest = " (motors set to coast)"
		}
		s.Rows = append(s.Rows, []string{strings.Join(d.Logs, ", "), d.Title + rest, d.For,
			fmt.Sprintf("%.0f, %.0f mm", d.Start.X*1000, d.Start.Y*1000),
			fmt.Sprintf("%.2f m x %.2f m", size.X, size.Y), fmt.Sprintf("%.1f s", d.Table.Seconds()),
			fmt.Sprintf("%.1f V", d.Table.Most())})
	}
	for _, left := range p.Left {
		s.Lines = append(s.Lines, "Left out: "+left+".")
	}
	return s
}

func (p *Plan) playing() Section {
	rest := "At 0 V the motors brake (shorted)"
	if p.Has("step_coast") {
		rest += ", in `step_coast` they coast (open)"
	}
	return Section{Title: "Play a table back", Lines: []string{
		"`NAME.csv` is the table, `NAME.h` the same for C and C++, `NAME.lua` for the simulated robot. Every 20 ms give " +
			"each motor of a side the row's volts; after the last row 0 V. Use no speed control, no ramp and no heading " +
			"correction of your library: the motors must get the volts.",
		"A library that takes a share (-1 to 1, or percent) instead of volts: share = volts / battery volts, computed in " +
			"every turn of the loop from the battery as it is then. Log the volts that you meant, and the battery.",
		rest + ". Set it before the drive.",
	}}
}

func (p *Plan) logging() Section {
	s := Section{Title: "Log", Lines: []string{
		"One CSV a drive, a row in every turn of the loop: read the sensors, give the volts, write the row. The first line " +
			"names the columns. `chalkfield show LOG.csv` says at once whether something is odd; `chalkfield guide logs` has " +
			"all units and names.",
	}, Head: []string{"column", "what"}}
	s.Rows = [][]string{
		{"`time s`", "the robot's clock, to the millisecond"},
		{"`left V`, `right V`", "the volts given to each side, ahead positive"},
		{"`left travel mm`, `right travel mm`", "each side's encoder (or `turn`, `deg`, `ticks` of the wheel)"},
		{"`heading deg`", "the inertial sensor, a turn to the left positive"},
		{"`battery V`", "at its terminals"},
	}
	for _, part := range p.Robot.Parts {
		if part.Lift != nil {
			unit := "deg"
			if part.Lift.Elevator {
				unit = "mm"
			}
			s.Rows = append(s.Rows, []string{fmt.Sprintf("`%s V`, `%s %s`", part.Name, part.Name, unit),
				"volts given, and where its sensor says it is"})
		}
	}
	return s
}

func (p *Plan) measuring() Section {
	s := Section{Title: "Tape and scale", Head: []string{"when", "measure", "result"}}
	blank := "............"
	s.Rows = [][]string{
		{"before all", "weigh the robot, battery in", blank + " kg"},
		{"before and after each", "battery volts at rest", blank + " V"},
	}
	for _, d := range p.Drives {
		switch {
		case d.Name == "ramp" || d.Name == "step_brake":
			s.Rows = append(s.Rows, []string{"`" + d.Name + "`",
				"where it stands at the end: x and y of the outline's middle", blank + " mm"})
		case strings.HasPrefix(d.Name, "square"):
			s.Rows = append(s.Rows, []string{"`" + d.Name + "`", "x, y and heading at the end, against the start: " +
				"twice at least, five times is good", blank + " mm, " + blank + " deg"})
		case len(d.Logs) > 2:
			for _, log := range d.Logs {
				s.Rows = append(s.Rows, []string{"`" + log + "`",
					"x, y and heading at the end; start again from the same marks", blank + " mm, " + blank + " deg"})
			}
		case strings.HasPrefix(d.Name, "move_"):
			s.Rows = append(s.Rows, []string{"`" + d.Logs[1] + "`", "weigh the load, then fix it to the end", blank + " kg"})
		}
	}
	s.Lines = []string{fmt.Sprintf("Heading by tape: the distances of the front left and the rear left corner from the "+
		"room's long side; their difference over %.0f mm is the heading's sine.", p.Robot.Chassis.Length*1000)}
	return s
}

func (p *Plan) rehearsed() Section {
	return Section{Title: "How these were made", Lines: []string{
		fmt.Sprintf("From %s, rehearsed on a bare floor with the robot as its file has it and with eight that go farthest "+
			"of those that it may really be. The drives are as large as leaves %.0f mm free on every side, and all wheels "+
			"bearing, for all of them. "+
			"What was not taken for known:", p.Robot.Name, Margin*1000)},
		List: drawn(p.Robot)}
}

// Markdown is the page as README.md.
func (p *Plan) Markdown() string {
	var out strings.Builder
	fmt.Fprintf(&out, "# %s\n\n![%s](%s)\n", p.Title(), "The drives in the room", Picture)
	for _, s := range p.Page() {
		fmt.Fprintf(&out, "\n## %s\n", s.Title)
		for _, line := range s.Lines {
			fmt.Fprintf(&out, "\n%s\n", line)
		}
		if s.List != nil {
			out.WriteByte('\n')
		}
		for _, point := range s.List {
			fmt.Fprintf(&out, "- %s\n", point)
		}
		if s.Head != nil {
			fmt.Fprintf(&out, "\n| %s |\n|%s\n", strings.Join(s.Head, " | "), strings.Repeat("---|", len(s.Head)))
		}
		for _, row := range s.Rows {
			fmt.Fprintf(&out, "| %s |\n", strings.ReplaceAll(strings.Join(row, "\x00"), "\x00", " | "))
		}
	}
	return out.String()
}
