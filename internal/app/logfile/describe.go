package logfile

import (
	"fmt"
	"math"
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
	AtRest     *AtRest     `json:"at_rest,omitempty"`  // nil: it stands nowhere for long
	Volts      string      `json:"top_unit,omitempty"` // of the drives' top: V or share
	Assumed    []string    `json:"assumed"`
	Suspicious []string    `json:"suspicious"`
	Worthless  []string    `json:"-"` // those of Suspicious without whose mending nothing can be learnt from the log
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
	all := func(list []string) []string { return append([]string{}, list...) } // none is [] in JSON
	d := Description{File: l.Name, Seconds: round(l.Seconds(), 1e6), Rows: len(l.Time), Rate: round(l.Clock.Rate, 1000),
		Notation: l.notation(), Unused: all(l.Unused), Assumed: all(l.Assumed),
		Drives: append([]Drive{}, m.drives()...),
		Clock:  l.clockText(), Volts: m.unit}
	d.AtRest = l.atRest(d.Drives)
	suspicious, worthless := l.suspicious(m)
	d.Suspicious, d.Worthless = all(suspicious), worthless
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
		d.Why = fmt.Sprintf("the rows are %s apart, and it takes %s at the most", Seconds(m.dt), Seconds(slowest))
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
		Least: round(l.Clock.Least, 1e6), Most: round(l.Clock.Most, 1e6), Gaps: []GapText{}}
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
