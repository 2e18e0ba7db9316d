package report

import (
	"fmt"
	"strings"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/testdrive"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

// drives is what is told of test drives.
type drives struct {
	*testdrive.Plan
	in units.System
}

// TestDrives lists the drives for a terminal; its page, which goes to the robot on paper, says how to drive and what to
// measure.
func TestDrives(in units.System, plan *testdrive.Plan) *Document {
	p := drives{plan, in}
	return &Document{In: in, Title: plan.Title(),
		Head: []string{fmt.Sprintf("%s for %s, in a room of %s", units.Counted(len(p.Drives), "test drive"),
			plan.Robot.Title, p.Room.In(in))},
		Sections: []Section{p.listed(), p.cautions(), p.setUp(), p.table(), p.playing(), p.logging(), p.measuring(),
			p.rehearsed()},
		Inputs: inputsOfRobot(record.File{Name: plan.Robot.Name, Title: plan.Robot.Title, SHA256: plan.Robot.SHA256},
			rehearse.Program)}
}

func (p drives) listed() Section {
	t := &Table{Look: Plain, Columns: make([]Column, 5)}
	for _, d := range p.Drives {
		t.Add(d.Name, d.Title, fmt.Sprintf("%.1f s", d.Table.Seconds()), fmt.Sprintf("up to %.1f V", d.Table.Most()),
			"from "+p.start(d))
	}
	out := Section{Table: t, On: InTerminal}
	for _, why := range p.Left {
		out.Below = append(out.Below, "left out: "+p.in.Retold(why))
	}
	return out
}

// start is where a drive begins.
func (p drives) start(d testdrive.Drive) string {
	return fmt.Sprintf("%s, %s %s", p.in.Number("%.0f mm", d.Start.X), p.in.Number("%.0f mm", d.Start.Y), p.in.Name("mm"))
}

func (p drives) cautions() Section {
	return Section{Title: "Before you begin", On: OnPage, Lines: points(
		"The event's own rules and the people responsible for the site decide.",
		"First time: robot on blocks, every table once, and see that all turns the right way. Ahead is positive.",
		"A person at the disable switch who does nothing else. Eye protection on. Nobody in the room's rectangle.",
		"Air released before hands go in; nothing on board that can fall off.",
		"Put the program's stop button into the loop that plays the table. "+p.slowFirst(),
		p.in.Retold(p.Tipping()),
		"The drives were rehearsed with a model of your robot. If one goes another way than drawn, stop, and look for the "+
			"reason first: sides swapped, a sign, percent for volts.",
	)}
}

func (p drives) slowFirst() string {
	if p.Has("ramp") {
		return "Start with `ramp`: it is slow."
	}
	return "The slow `ramp` is left out: start with the drive that moves at the least volts."
}

func (p drives) setUp() Section {
	c := p.Robot.Chassis
	s := Section{Title: "Set up", On: OnPage, Lines: []string{
		fmt.Sprintf("Tape a rectangle of %s on the floor that you play on, flat, clean and dry. Its lower left corner "+
			"is (0, 0); x runs along the longer side, y to its left.",
			p.Room.In(p.in)),
		p.in.Sprintf("For each drive mark the place below. It is that of %s, of %.0f mm x "+
			"%.0f mm: a cross on the floor, and two strips along the robot's left side and rear, so that you find it again. "+
			"The robot looks along x.", p.point(), c.Length, c.Width),
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

func (p drives) table() Section {
	t := &Table{Look: List, Columns: heads("log", "what it does", "tells", "start x, y", "needs", "takes", "most")}
	s := Section{Title: "The drives, in this order", On: OnPage, Table: t,
		Lines: []string{"Each begins with a second of stand-still and ends with one: keep logging. Under `needs` is the " +
			"rectangle that all rehearsals stayed in, outline and all."}}
	for _, d := range p.Drives {
		low, high := d.Reach[0], d.Reach[1]
		rest := ""
		if d.Coasts {
			rest = " (motors set to coast)"
		}
		t.Add(strings.Join(d.Logs, ", "), d.Title+rest, d.For,
			p.start(d),
			p.in.Sprintf("%.2f m x %.2f m", high.X-low.X, high.Y-low.Y), fmt.Sprintf("%.1f s", d.Table.Seconds()),
			fmt.Sprintf("%.1f V", d.Table.Most()))
	}
	for _, left := range p.Left {
		s.Lines = append(s.Lines, "Left out: "+p.in.Retold(left)+".")
	}
	return s
}

func (p drives) playing() Section {
	rest := "At 0 V the motors brake (shorted)"
	if p.Has("step_coast") {
		rest += ", in `step_coast` they coast (open)"
	}
	return Section{Title: "Play a table back", On: OnPage, Lines: []string{
		"`NAME.csv` is the table, `NAME.h` the same for C and C++, `NAME.lua` for the simulated robot. Every 20 ms give " +
			"each motor of a side the row's volts; after the last row 0 V. Use no speed control, no ramp and no heading " +
			"correction of your library: the motors must get the volts.",
		"A library that takes a share (-1 to 1, or percent) instead of volts: share = volts / battery volts, computed in " +
			"every turn of the loop from the battery as it is then. Log the volts that you meant, and the battery.",
		rest + ". Set it before the drive.",
	}}
}

func (p drives) logging() Section {
	t := &Table{Look: List, Columns: heads("column", "what")}
	t.Add("`time s`", "the robot's clock, to the millisecond")
	t.Add("`left V`, `right V`", "the volts given to each side, ahead positive")
	t.Add(fmt.Sprintf("`left travel %[1]s`, `right travel %[1]s`", p.in.Name("mm")),
		"each side's encoder (or `turn`, `deg`, `ticks` of the wheel)")
	t.Add("`heading deg`", "the inertial sensor, a turn to the left positive")
	t.Add("`battery V`", "at its terminals")
	t.Add("`left A`, `right A`", "the current of each side, if your motor controllers tell it")
	for _, part := range p.Robot.Parts {
		if part.Lift != nil {
			unit := "deg"
			if part.Lift.Elevator {
				unit = p.in.Name("mm")
			}
			t.Add(fmt.Sprintf("`%s V`, `%s %s`", part.Name, part.Name, unit), "volts given, and where its sensor says it is")
		}
	}
	return Section{Title: "Log", On: OnPage, Table: t, Lines: []string{
		"One CSV a drive, a row in every turn of the loop: read the sensors, give the volts, write the row. The first line " +
			"names the columns. `chalkfield show LOG.csv` says at once whether something is odd; `chalkfield guide logs` has " +
			"all units and names.",
	}}
}

func (p drives) measuring() Section {
	const blank = "............"
	length, mass := blank+" "+p.in.Name("mm"), blank+" "+p.in.Name("kg")
	t := &Table{Look: List, Columns: heads("when", "measure", "result")}
	t.Add("before all", "weigh the robot, battery in", mass)
	t.Add("before and after each", "battery volts at rest", blank+" V")
	for _, d := range p.Drives {
		switch {
		case strings.HasPrefix(d.Name, "square"):
			t.Add("`"+d.Name+"`", "x, y and heading at the end, against the start: twice at least, five times is good",
				length+", "+blank+" deg")
		case len(d.Logs) > 2:
			for _, log := range d.Logs {
				t.Add("`"+log+"`", "x, y and heading at the end; start again from the same marks",
					length+", "+blank+" deg")
			}
		case strings.HasPrefix(d.Name, "move_"):
			t.Add("`"+d.Logs[1]+"`", "weigh the load, then fix it to the end", mass)
		}
	}
	return Section{Title: "Tape and scale", On: OnPage, Table: t, Lines: []string{p.headingByTape(),
		fmt.Sprintf("Into the logs with it: two more columns, `x %[1]s` and `y %[1]s` of %[2]s, with the start's place in "+
			"the first row, the end's in the last, all other cells empty: the fit then learns the wheels' size from it. The "+
			"heading goes into no log: where that of a square's log rose by more than 2 deg more or less than the tape says, "+
			"the inertial sensor's scale is off. Turn the robot ten times by hand, from a mark back to the mark: scale = (what "+
			"the heading rose by) / 3600 deg - 1, for its `scale` in the robot file.", p.in.Name("mm"), p.point())}}
}

func (p drives) headingByTape() string {
	if p.Robot.Chassis.Outline != nil {
		return "Heading by tape: put two marks on the robot, one behind the other along x and as far apart as there is " +
			"room. The difference of their distances from the room's long side, over how far they are apart, is the " +
			"heading's sine."
	}
	return p.in.Sprintf("Heading by tape: the distances of the front left and the rear left corner from the room's long "+
		"side; their difference over %.0f mm is the heading's sine.", p.Robot.Chassis.Length)
}

// point is where a robot is said to be.
func (p drives) point() string {
	if p.Robot.Chassis.Outline != nil {
		return "the robot's [0, 0], which its file counts places from: mark it on the robot"
	}
	return "the middle of the robot's outline"
}

func (p drives) rehearsed() Section {
	return Section{Title: "How these were made", On: OnPage, Lines: append([]string{
		p.in.Sprintf("From %s, rehearsed on a bare floor with the robot as its file has it and with eight that go farthest "+
			"of those that it may really be. The drives are as large as leaves %.0f mm free on every side, and all wheels "+
			"bearing, for all of them. What was not taken for known:", p.Robot.Name, testdrive.Margin),
	}, points(retold(p.in, testdrive.Scales(p.Robot))...)...)}
}
