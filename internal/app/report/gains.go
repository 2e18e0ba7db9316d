package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/app/gains"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// NewGains is a robot file with other gains, and where it goes.
type NewGains struct {
	Set     gains.Set    `json:"set"`
	Text    []byte       `json:"-"`
	Changes []gains.Edit `json:"changes"`
	Path    string       `json:"file"`
	There   bool         `json:"-"` // a file stands at the path
	Written bool         `json:"written"`
	Left    []string     `json:"left"` // loops whose gains are left as they are, and why
}

// looped is what is told of gains.
type looped struct {
	*gains.Result
	*NewGains
	in   units.System
	spec *robot.Robot
}

// sets are where gains come from, in words.
var sets = map[gains.Set]string{gains.File: "in the file", gains.Computed: "computed from the model",
	gains.ByTable: "relay, Ziegler and Nichols", gains.Tuned: "tuned"}

// usual is what a set is called of a loop whose file has none of its gains.
const usual = "usual, none in the file"

// from is where a loop's gains come from, in words.
func (g looped) from(l *gains.LoopResult, s gains.Set) string {
	if s == gains.File && !l.Loop.Stands(g.spec) {
		return usual
	}
	return sets[s]
}

// by says with which gains something is so.
func (g looped) by(l *gains.LoopResult, s gains.Set) string {
	if name := g.from(l, s); name != usual {
		return "with the gains " + name
	}
	return "with its usual gains, as the file has none"
}

// GainsOf is where gains come from, in words.
func GainsOf(s gains.Set) string { return sets[s] }

// Gains tells what gains do.
func Gains(in units.System, spec *robot.Robot, r *gains.Result, file *NewGains) *Document {
	g := looped{r, file, in, spec}
	title := strings.Join(strings.Fields(r.Robot), " ")
	d := &Document{In: in, Title: title + ": what its gains do", Foot: Model, Data: g,
		Head: []string{fmt.Sprintf("%s: %s on an empty floor, each by four sets of gains", title,
			units.Counted(len(r.Loops), "loop"))}}
	d.Inputs = inputsOfRobot(record.File{Name: spec.Name, Title: spec.Title, SHA256: spec.SHA256}, rehearse.Program)
	for _, l := range r.Loops {
		if trouble := g.trouble(l, l.Sets[0]); trouble != "" {
			d.Notes = append(d.Notes, trouble)
		}
		d.Sections = append(d.Sections, g.loop(l), g.robust(l))
	}
	d.Sections = append(d.Sections, Section{Title: "How to read it", On: InTerminal, Lines: points(
		"a step is a jump; a routine's motions follow plans, which leave less to the gains, so there they matter less",
		"rise: from 10 to 90 % of the step; settles: from when it stays within 2 % of where it ends; off: what is then left "+
			"of the step, below 0 beyond it; peak A: the most current of the loop's motors together",
		"behind: what moves steadily, below 0 ahead of it; rings at: so many times the gain, or motors so much later than "+
			"the file says, at a small step; trembles: too little for the step to show it, but motors wear",
		fmt.Sprintf("!: too near to ringing. Common practice is %.0f to 5 times the gain (Astrom and Hagglund), and a tick "+
			"of the controller, %.0f ms", gains.LeastFactor, 1000*gains.LeastLate),
		"low battery: run down as the file has it; loaded: a quarter more mass to drive, half more on a lift, of which the "+
			"controllers do not know")})
	return g.with(d)
}

// trouble says what a robot's own gains do wrong.
func (g looped) trouble(l *gains.LoopResult, t *gains.Tried) string {
	for _, c := range t.Cases {
		if c.Verdict != gains.Settles {
			return fmt.Sprintf("%s %s, %s (%s)", l.Name, c.Trouble(), g.by(l, t.Set), c.Case.Name)
		}
	}
	if off := t.Cases[0].Figures.Steady; l.Loop.Kind == gains.Lift && off != nil {
		if most := g.spec.Parts[l.Loop.Part].Lift.Within; math.Abs(*off) > most {
			unit := g.small(l).Name
			return fmt.Sprintf("%s ends %.3g %s off, and %.3g %s are allowed, %s: it needs a greater p, an i, or more to hold",
				l.Name, math.Abs(g.of(l, *off)), unit, g.of(l, most), unit, g.by(l, t.Set))
		}
	}
	if factor, delay := t.Near(); factor || delay {
		return fmt.Sprintf("%s is near to ringing, %s: see ! below", l.Name, g.by(l, t.Set))
	}
	return ""
}

// small is a length or angle of a loop, in its small unit.
func (g looped) small(l *gains.LoopResult) units.Shown {
	if l.Unit == "m" {
		return g.in.Shown("mm")
	}
	return units.Shown{Name: "deg", Times: 1}
}

// of is a value in that unit.
func (g looped) of(l *gains.LoopResult, x float64) float64 {
	if l.Unit == "m" {
		return g.in.From(x, "mm")
	}
	return x * 180 / math.Pi
}

func (g looped) loop(l *gains.LoopResult) Section {
	unit := g.small(l).Name
	t := &Table{Columns: heads("gains", "#rise s", "#overshoot %", "#settles s", "#off "+unit, "#behind "+unit,
		"#rings at gain x", "#or later by ms", "#peak A")}
	var lines []string
	for _, s := range l.Sets {
		if s.Without != "" {
			lines = append(lines, sets[s.Set]+": none: "+s.Without)
			continue
		}
		f, rise, over, settles, off := &s.Cases[0].Figures, "-", "-", "-", "-"
		if f.Verdict == gains.Settles {
			rise, over = fmt.Sprintf("%.2f", *f.Rise), fmt.Sprintf("%.0f", 100**f.Overshoot)
			settles, off = fmt.Sprintf("%.2f", *f.Settling), fmt.Sprintf("%.1f", g.of(l, *f.Steady))
		} else {
			settles = string(f.Verdict)
		}
		behind := "-"
		if f.Swing == nil {
			behind = fmt.Sprintf("%.1f", g.of(l, s.Behind))
		}
		name := g.from(l, s.Set)
		times, late := margins(s)
		t.Add(name, rise, over, settles, minusZero(off), minusZero(behind), times, late, fmt.Sprintf("%.1f", f.PeakAmps))
		lines = append(lines, name+": "+l.Loop.Words(g.spec, s.Gains))
	}
	sec := Section{Title: l.Name, Lead: fmt.Sprintf("a step of %.4g %s", g.of(l, l.Step), unit), Lines: points(lines...),
		Table: t}
	if l.Ultimate != nil {
		sec.Below = []string{fmt.Sprintf("in a relay's place P alone rings from p %s on, a swing every %.2g s",
			l.Loop.Ultimate(g.spec, *l.Ultimate), l.Ultimate.Period)}
	}
	return sec
}

// minusZero leaves out the sign of nothing.
func minusZero(text string) string {
	if strings.Trim(text, "-0.") == "" && text != "-" {
		return strings.TrimPrefix(text, "-")
	}
	return text
}

// Margins are those of gains in a sentence: "3.2 times the gain, or 25 ms later".
func Margins(s *gains.Tried) string {
	factor, delay := unmarked(s)
	if s.Factor.At == 0 {
		return "these gains already"
	}
	return fmt.Sprintf("%s times the gain, or %s ms later", factor, delay)
}

// margins are those of gains in a table, marked where they are too small.
func margins(s *gains.Tried) (factor, delay string) {
	switch {
	case s.Cases[0].Swing != nil:
		return string(s.Cases[0].Verdict), "-"
	case s.Gains.P == 0 && s.Gains.I == 0: // nothing that could ring
		return "-", "-"
	case s.Factor.At == 0:
		return "< 1 !", "-"
	}
	factor, delay = unmarked(s)
	near, late := s.Near()
	return marked(factor, near), marked(delay, late)
}

// unmarked are the margins as numbers.
func unmarked(s *gains.Tried) (factor, delay string) {
	if factor = fmt.Sprintf("%.1f", s.Factor.At); s.Factor.More {
		factor = fmt.Sprintf("> %.0f", s.Factor.At)
	}
	switch e := s.Delay; {
	case e.More:
		return factor, fmt.Sprintf("> %.0f", 1000*e.At)
	case e.At == 0:
		return factor, fmt.Sprintf("< %.1f", 1000*gains.LeastDelay)
	default:
		return factor, fmt.Sprintf("%.0f", 1000*e.At)
	}
}

func marked(text string, mark bool) string {
	if mark {
		return text + " !"
	}
	return text
}

// robust is each set in each case.
func (g looped) robust(l *gains.LoopResult) Section {
	names := []string{"gains"}
	for _, c := range gains.Cases {
		names = append(names, "#"+c.Name)
	}
	t := &Table{Columns: heads(names...)}
	for _, s := range l.Sets {
		if s.Without != "" {
			continue
		}
		cells := []string{g.from(l, s.Set)}
		for _, c := range s.Cases {
			words := string(c.Verdict)
			if c.Verdict == gains.Settles {
				words = fmt.Sprintf("%.2f s, %.0f %%", *c.Settling, 100**c.Overshoot)
			}
			cells = append(cells, words)
		}
		t.Add(cells...)
	}
	return Section{Title: l.Name + ", when all is not as in the file", Lead: "settles, overshoot", Table: t}
}

// with tells what is written.
func (g looped) with(d *Document) *Document {
	t := &Table{Look: Plain, Columns: heads("key", "#before", "", "#after")}
	t.Columns[2].On = InTerminal
	for _, c := range g.Changes {
		before := c.Before
		if before == "" {
			before = "left out"
		}
		t.Add(c.Path, before, "->", c.After)
	}
	var remarks []string
	for _, c := range g.Changes {
		if c.Comment != "" {
			remark := fmt.Sprintf("line %d keeps its comment, which may be true no longer: %s", c.Line, c.Comment)
			if !slices.Contains(remarks, remark) { // several gains in a line
				remarks = append(remarks, remark)
			}
		}
	}
	for _, l := range g.Loops {
		for _, t := range l.Sets {
			if factor, delay := t.Near(); t.Set == g.Set && t.Good() && (factor || delay) {
				remarks = append(remarks, l.Name+" is near to ringing by these gains, see ! above: try them with care")
			}
		}
	}
	s := Section{Title: "Written into " + g.Path, Lead: "before -> after", Table: t, Below: append(remarks, g.Left...)}
	switch {
	case len(g.Changes) == 0:
		s = Section{Title: "Nothing is written", Lines: append([]string{"the gains " + sets[g.Set] +
			" are those that the robot has"}, g.Left...)}
		if len(g.Left) > 0 {
			s.Lines = g.Left
		}
	case g.Path == "":
		s.Title = "Not written: gains " + sets[g.Set]
		s.Below = append(s.Below, "to write a new robot file: --out tuned.toml; other gains: --use computed, or relay")
	case !g.Written:
		s.Title = "Not written: " + g.Path + " is there already"
		s.Below = append(s.Below, "to write over it, say --write as well")
	}
	d.Sections = append(d.Sections, s)
	return d
}
