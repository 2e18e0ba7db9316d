package report

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/internal/app/logfile"
	"chalkfield/internal/base/units"
)

// Log tells what is in a log of a real robot, and what is odd about it.
func Log(in units.System, d logfile.Description) *Document {
	late := "cannot be told: " + d.Why
	if d.Latency != nil {
		late = fmt.Sprintf("motion follows the volts %s ms late (%s; correlation %.3f)",
			logfile.Figures(math.Round(d.Latency.Seconds*1000)+0), d.Latency.From, d.Latency.Correlation) // + 0: no "-0"
	}
	out := &Document{In: in, Title: d.File, Data: d, Sections: []Section{columnsOf(d), timeOf(d),
		{Title: "Latency", Lines: []string{late}}, drivesOf(in, d)},
		Head: []string{fmt.Sprintf("%s: a log of %s, %s, %s Hz, parted by %s", d.File, logfile.Seconds(d.Seconds),
			units.Counted(d.Rows, "row"), logfile.Figures(d.Rate), d.Notation)}}
	out.items("At rest", restOf(d))
	return out.items("Assumed", d.Assumed).items("Suspicious", retold(in, d.Suspicious))
}

// items adds a section with a line each, if there are any.
func (d *Document) items(title string, list []string) *Document {
	if len(list) > 0 {
		d.Sections = append(d.Sections, Section{Title: title, Lines: points(list...)})
	}
	return d
}

func columnsOf(d logfile.Description) Section {
	t := &Table{Columns: heads("column", "is", "#rate", "#step", "#from", "#to")}
	for _, c := range d.Columns {
		if c.Filled == 0 {
			t.Add(c.Header, c.Is, "empty", "", "", "")
			continue
		}
		step := "-"
		if c.Step > 0 {
			step = logfile.Figures(c.Step) + " " + c.Unit
		}
		t.Add(c.Header, c.Is, logfile.Figures(c.Rate)+" Hz", step, logfile.Figures(c.Low),
			logfile.Figures(c.High)+" "+c.Unit)
	}
	s := Section{Title: "Columns", Table: t}
	if len(d.Unused) > 0 {
		s.Below = []string{"not used: " + strings.Join(d.Unused, ", ")}
	}
	return s
}

// itemsListed is how many gaps or drives a text lists.
const itemsListed = 40

func timeOf(d logfile.Description) Section {
	list := []string{fmt.Sprintf("from %s, rows %s to %s ms apart", logfile.Seconds(d.Clock.From),
		logfile.Figures(d.Clock.Least*1000), logfile.Figures(d.Clock.Most*1000))}
	for i, gap := range d.Clock.Gaps {
		if i == itemsListed {
			list = append(list, "and "+units.Counted(len(d.Clock.Gaps)-i, "gap")+" more")
			break
		}
		list = append(list, fmt.Sprintf("gap of %s at %s, before line %d", logfile.Seconds(gap.Seconds),
			logfile.Seconds(gap.From), gap.Line))
	}
	return Section{Title: "Time", Lines: list}
}

func drivesOf(in units.System, d logfile.Description) Section {
	s := Section{Title: "Drives"}
	if len(d.Drives) == 0 {
		s.Lines = []string{"none: nothing moves, and no volts are given"}
		return s
	}
	top := "top"
	if d.Volts == "V" {
		top = "V"
	}
	s.Table = &Table{Columns: heads("#from", "#to", "what", "#"+top, "#way", "#turn", "#speed"), Most: itemsListed,
		Rest: "and " + units.Counted(len(d.Drives)-itemsListed, "drive") + " more"}
	for _, drive := range d.Drives {
		s.Table.Add(fmt.Sprintf("%.2f s", drive.From), fmt.Sprintf("%.2f s", drive.To), drive.What,
			inWhole(drive.Top, 100, 0.01, ""), inUnits(in, drive.Way, "mm"), inWhole(drive.Turn, 180/math.Pi, 1, " deg"),
			inUnits(in, drive.Speed, "mm/s"))
	}
	return s
}

// restOf tells of noise and drift while the robot stands.
func restOf(d logfile.Description) (list []string) {
	if d.AtRest == nil {
		return nil
	}
	for _, c := range d.AtRest.Columns {
		list = append(list, fmt.Sprintf("%s: noise %s %s, drift %s %s a minute (%s to %s)", c.Header,
			logfile.Figures(c.Noise), c.Unit, logfile.Figures(c.Drift), c.Unit, logfile.Seconds(d.AtRest.From),
			logfile.Seconds(d.AtRest.To)))
	}
	return list
}

// inUnits is a value to a whole metric unit, or as closely; a dash for none.
func inUnits(in units.System, x *float64, unit string) string {
	if x == nil {
		return "-"
	}
	return in.Text(*x, unit, 0)
}

// retold are sentences in a person's units.
func retold(in units.System, sentences []string) []string {
	var out []string
	for _, s := range sentences {
		out = append(out, in.Retold(s))
	}
	return out
}

// inWhole is a value as a whole number of times, each of which is worth so much of the unit; a dash for none.
func inWhole(x *float64, times, worth float64, unit string) string {
	if x == nil {
		return "-"
	}
	return logfile.Figures(math.Round(*x*times)*worth+0) + unit
}
