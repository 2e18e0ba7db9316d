package logfile

import (
	"fmt"
	"io"
	"math"
	"strings"

	"chalkfield/internal/base/wording"
)

// Description is what a log has in it. Values of a column are in its own unit, all others in SI units.
type Description struct {
	File       string      `json:"file"`
	Seconds    float64     `json:"seconds"`
	Rows       int         `json:"rows"`
	Rate       float64     `json:"rate_hz"`
	Notation   string      `json:"notation"`
	Clock      ClockText   `json:"time"`
	Columns    []Described `json:"columns"`
	Unused     []string    `json:"unused"`
	Latency    *Late       `json:"latency"` // null: Why says why not
	Why        string      `json:"no_latency,omitempty"`
	Drives     []Drive     `json:"drives"`
	Volts      string      `json:"top_unit,omitempty"` // of the drives' top: V or share
	Assumed    []string    `json:"assumed"`
	Suspicious []string    `json:"suspicious"`
}

// ClockText is what the times of the rows show.
type ClockText struct {
	Header string    `json:"header"`
	Unit   string    `json:"unit"`
	From   float64   `json:"from_s"`
	Least  float64   `json:"least_step_s"`
	Most   float64   `json:"most_step_s"`
	Gaps   []GapText `json:"gaps"`
}

// GapText is a stretch without rows.
type GapText struct {
	From    float64 `json:"from_s"`
	Seconds float64 `json:"seconds"`
	Line    int     `json:"line"`
}

// Described is a column. A column that is empty in most rows has a rate of its own.
type Described struct {
	Header string  `json:"header"`
	Is     string  `json:"is"`
	Unit   string  `json:"unit"`
	Filled int     `json:"filled"`
	Rate   float64 `json:"rate_hz"`
	Step   float64 `json:"step"` // 0: none is seen
	Low    float64 `json:"low"`
	High   float64 `json:"high"`
}

// Late is the latency from the volts to the motion.
type Late struct {
	Seconds     float64 `json:"seconds"`
	Correlation float64 `json:"correlation"`
	From        string  `json:"from"`
}

// Describe looks at all of a log.
func Describe(l *Log) Description {
	m := l.onGrid()
	d := Description{File: l.Name, Seconds: round(l.Seconds(), 1e6), Rows: len(l.Time), Rate: round(l.Clock.Rate, 1000),
		Notation: l.notation(), Unused: l.Unused, Assumed: l.Assumed, Suspicious: l.suspicious(m), Drives: m.drives(),
		Clock: l.clockText(), Volts: m.unit}
	for _, c := range l.Columns {
		d.Columns = append(d.Columns, c.described())
	}
	late, found := m.latency()
	switch {
	case found:
		d.Latency = &Late{round(late.Seconds, 1e5), round(late.Correlation, 1e4), late.From}
	case m.unit == "":
		d.Why = "it takes volts or duty of both sides, and a travel, a speed or a heading"
	case m.dt > slowest:
		d.Why = fmt.Sprintf("the rows are %s apart, and it takes %s at the most", seconds(m.dt), seconds(slowest))
	case late.Correlation == 0:
		d.Why = "nothing moves with the volts"
	default:
		d.Why = fmt.Sprintf("motion does not follow the volts closely enough (correlation %.2f, at least %.2f is needed)",
			late.Correlation, leastMatch)
	}
	return d
}

func (l *Log) clockText() ClockText {
	t := ClockText{Header: l.Clock.Header, Unit: l.Clock.Unit, From: round(l.Time[0], 1e6),
		Least: round(l.Clock.Least, 1e6), Most: round(l.Clock.Most, 1e6)}
	for _, gap := range l.Clock.Gaps {
		t.Gaps = append(t.Gaps, GapText{round(gap.From, 1e6), round(gap.Seconds, 1e6), gap.Line})
	}
	return t
}

func (l *Log) notation() string {
	name := map[byte]string{',': "commas", ';': "semicolons", '\t': "tabs"}[l.separator]
	if name == "" {
		name = fmt.Sprintf("%q", string(l.separator))
	}
	if l.decimalComma {
		name += ", decimal comma"
	}
	return name
}

func (c *Column) described() Described {
	d := Described{Header: c.Header, Is: c.Is.called(), Unit: c.Unit, Filled: c.Filled, Rate: round(c.Rate, 1000),
		Step: sixDigits(c.Step)}
	if given(c.Low) {
		d.Low, d.High = sixDigits(c.Low), sixDigits(c.High)
	}
	return d
}

// round keeps so many parts of one. A zero has no sign.
func round(x, parts float64) float64 { return math.Round(x*parts)/parts + 0 }

// sixDigits rounds to six significant digits.
func sixDigits(x float64) float64 {
	if x == 0 || math.IsInf(x, 0) || !given(x) {
		return 0
	}
	size := math.Pow(10, 5-math.Floor(math.Log10(math.Abs(x))))
	if math.IsInf(size, 0) || size == 0 {
		return x
	}
	return math.Round(x*size) / size
}

// Text writes a description for people.
func Text(w io.Writer, d Description) error {
	out := &strings.Builder{}
	fmt.Fprintf(out, "%s: a log of %s, %s, %s Hz, parted by %s\n", d.File, seconds(d.Seconds), counted(d.Rows, "row"),
		figures(d.Rate), d.Notation)
	d.writeColumns(out)
	d.writeTime(out)
	if d.Latency != nil {
		fmt.Fprintf(out, "\nLatency\n  motion follows the volts %.0f ms late (%s; correlation %.3f)\n",
			d.Latency.Seconds*1000, d.Latency.From, d.Latency.Correlation)
	} else {
		fmt.Fprintf(out, "\nLatency\n  cannot be told: %s\n", d.Why)
	}
	d.writeDrives(out)
	writeList(out, "Assumed", d.Assumed)
	writeList(out, "Suspicious", d.Suspicious)
	_, err := io.WriteString(w, out.String())
	return err
}

func (d Description) writeColumns(out *strings.Builder) {
	out.WriteString("\nColumns\n")
	table := wording.NewTable(out, 3)
	fmt.Fprint(table, "  column\tis\trate\tstep\tfrom\tto\n")
	for _, c := range d.Columns {
		step := "-"
		if c.Step > 0 {
			step = figures(c.Step) + " " + c.Unit
		}
		if c.Filled == 0 {
			fmt.Fprintf(table, "  %s\t%s\tempty\n", c.Header, c.Is)
			continue
		}
		fmt.Fprintf(table, "  %s\t%s\t%s Hz\t%s\t%s\t%s %s\n", c.Header, c.Is, figures(c.Rate), step, figures(c.Low),
			figures(c.High), c.Unit)
	}
	table.Flush()
	if len(d.Unused) > 0 {
		fmt.Fprintf(out, "  not used: %s\n", strings.Join(d.Unused, ", "))
	}
}

// mostListed is how many gaps or drives a text lists.
const mostListed = 40

func (d Description) writeTime(out *strings.Builder) {
	fmt.Fprintf(out, "\nTime\n  from %s, rows %s to %s ms apart\n", seconds(d.Clock.From), figures(d.Clock.Least*1000),
		figures(d.Clock.Most*1000))
	for i, gap := range d.Clock.Gaps {
		if i == mostListed {
			fmt.Fprintf(out, "  and %s more\n", counted(len(d.Clock.Gaps)-i, "gap"))
			break
		}
		fmt.Fprintf(out, "  gap of %s at %s, before line %d\n", seconds(gap.Seconds), seconds(gap.From), gap.Line)
	}
}

func (d Description) writeDrives(out *strings.Builder) {
	out.WriteString("\nDrives\n")
	if len(d.Drives) == 0 {
		out.WriteString("  none: nothing moves, and no volts are given\n")
		return
	}
	top := d.Volts
	if top == "" || top == share {
		top = "top"
	}
	table := wording.NewTable(out, 3)
	fmt.Fprintf(table, "  from\tto\twhat\t%s\tway\tturn\tspeed\n", top)
	for i, drive := range d.Drives {
		if i == mostListed {
			fmt.Fprintf(table, "  and %s more\n", counted(len(d.Drives)-i, "drive"))
			break
		}
		fmt.Fprintf(table, "  %s\t%s\t%s\t%s\t%s\t%s\t%s\n", hundredths(drive.From), hundredths(drive.To), drive.What,
			whole(drive.Top, 100, 0.01, ""), whole(drive.Way, 1000, 1, " mm"), whole(drive.Turn, 180/math.Pi, 1, " deg"),
			whole(drive.Speed, 1000, 1, " mm/s"))
	}
	table.Flush()
}

// whole is a value as a whole number of times, each of which is worth so much of the unit; a dash for none.
func whole(x *float64, times, worth float64, unit string) string {
	if x == nil {
		return "-"
	}
	return figures(math.Round(*x*times)*worth+0) + unit
}

func hundredths(t float64) string { return fmt.Sprintf("%.2f s", t) }

func writeList(out *strings.Builder, title string, lines []string) {
	if len(lines) == 0 {
		return
	}
	fmt.Fprintf(out, "\n%s\n", title)
	for _, line := range lines {
		fmt.Fprintf(out, "  - %s\n", line)
	}
}
