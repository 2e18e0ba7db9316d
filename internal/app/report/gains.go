package report

import (
	"fmt"
	"math"
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
		if f := l.Sets[0]; !f.Good() {
			d.Notes = append(d.Notes, g.trouble(l, f))
		}
		d.Sections = append(d.Sections, g.loop(l), g.robust(l))
	}
	d.Sections = append(d.Sections, Section{Title: "How to read it", On: InTerminal, Lines: points(
		"rise: from 10 to 90 % of the step; settles: from when it stays within 2 % of where it ends; off: of what was wanted",
		"behind: of what moves steadily; rings at: so many times the gain, or motors so much later than the file says",
		"low battery: run down as the file has it; loaded: a quarter more mass to drive, half more on a lift, of which the "+
			"controllers do not know")})
	return g.with(d)
}

// trouble says what a robot's own gains do wrong.
func (g looped) trouble(l *gains.LoopResult, t *gains.Tried) string {
	for _, c := range t.Cases {
		if c.Verdict != gains.Settles {
			return fmt.Sprintf("%s %s, with the gains in the file (%s)", l.Name, c.Trouble(), c.Case.Name)
		}
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
		if f.Verdict != gains.Rings {
			behind = fmt.Sprintf("%.1f", g.of(l, s.Behind))
		}
		t.Add(sets[s.Set], rise, over, settles, minusZero(off), minusZero(behind), factor(s.Factor), delay(s),
			fmt.Sprintf("%.1f", f.PeakAmps))
		lines = append(lines, sets[s.Set]+": "+l.Loop.Words(g.spec, s.Gains))
	}
	sec := Section{Title: l.Name, Lead: fmt.Sprintf("a step of %.4g %s", g.of(l, l.Step), unit), Lines: points(lines...),
		Table: t}
	if l.Ultimate != nil {
		sec.Below = []string{fmt.Sprintf("a relay swings it every %.3g s: it would ring at p %s",
			l.Ultimate.Period, l.Loop.Ultimate(g.spec, *l.Ultimate))}
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

func factor(e gains.Edge) string {
	switch {
	case e.More:
		return fmt.Sprintf("> %.0f", e.At)
	case e.At == 0:
		return "rings"
	}
	return fmt.Sprintf("%.1f", e.At)
}

func delay(s *gains.Tried) string {
	switch e := s.Delay; {
	case s.Factor.At == 0 && !s.Factor.More:
		return "rings"
	case e.More:
		return fmt.Sprintf("> %.0f", 1000*e.At)
	case e.At == 0:
		return fmt.Sprintf("< %.1f", 1000*gains.LeastDelay)
	default:
		return fmt.Sprintf("%.0f", 1000*e.At)
	}
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
		cells := []string{sets[s.Set]}
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
	s := Section{Title: "Written into " + g.Path, Lead: "before -> after", Table: t, Below: g.Left}
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
