package report

import (
	"chalkfield/internal/base/geom"
	"fmt"
	"math"
	"strings"

	"chalkfield/internal/app/alongside"
	"chalkfield/internal/app/logfile"
	"chalkfield/internal/base/units"
)

// AddLog adds to a rehearsal's document how a log of the real robot lies beside it.
func (d *Document) AddLog(p *alongside.Pair) {
	d.with(func(a *Account) { a.Log = p })
	d.Sections = append(d.Sections, besides(d.In, p)...)
}

// besides tells of a log beside a rehearsal: where it was laid, where it departs, how its signals differ.
func besides(in units.System, p *alongside.Pair) []Section {
	s := Section{Title: "Beside the log " + p.Log, Lines: []string{clockWords(p), comparedWords(p)}}
	for _, note := range p.Notes {
		s.Lines = append(s.Lines, "Note: "+in.Retold(note)+".")
	}
	s.Lines = append(s.Lines, "It "+Departure(in, p), Farthest(in, p)+fmt.Sprintf(" At the end (%.2f s): %s.", p.End.T,
		gapWords(in, p.End, false)))
	if p.Turned != nil {
		s.Lines = append(s.Lines, fmt.Sprintf("Turned most from it: %s at %.2f s.", turnWords(*p.Turned.Heading),
			p.Turned.T))
	}
	t := &Table{Columns: heads("signal", "#log less rehearsal, mean", "#rms", "#rms of the rehearsal")}
	for _, signal := range p.Signals {
		form := formOf(in, signal.Unit)
		t.Add(signal.Name, form.words("%+.*f", signal.Mean), form.words("%.*f", signal.RMS), form.words("%.*f", signal.Of))
	}
	return []Section{s, {Title: "Signals of the log", Table: t}}
}

func clockWords(p *alongside.Pair) string {
	how := fmt.Sprintf("found: speeds and turning rates correlate by %.2f; what the robot answers late by is taken away "+
		"with it, unless you give the time with --log-at", p.Correlation)
	if p.Given {
		how = fmt.Sprintf("as given: speeds and turning rates correlate by %.2f", p.Correlation)
	}
	line := fmt.Sprintf("The routine begins at %s of its clock (%s).", logfile.Seconds(p.At), how)
	if len(p.Others) > 0 {
		var list []string
		for _, at := range p.Others[:min(len(p.Others), 5)] {
			list = append(list, logfile.Seconds(at))
		}
		line += fmt.Sprintf(" It fits about as well at %s: --log-at chooses.", strings.Join(list, ", "))
	}
	return line
}

func comparedWords(p *alongside.Pair) string {
	how := fmt.Sprintf("its %s with the rehearsal's true pose", p.Columns)
	if p.Against == alongside.DeadReckoning {
		how = fmt.Sprintf("dead reckoning from the log's %s, against the same of the rehearsal", p.Columns)
	}
	return fmt.Sprintf("Compared from %.2f to %.2f s: %s.", p.From, p.To, how)
}

// Farthest says where a log is farthest from its rehearsal.
func Farthest(in units.System, p *alongside.Pair) string {
	return "Farthest: " + gapWords(in, p.Farthest, true) + "."
}

// Departure says of a log where it first leaves its rehearsal, and when that began.
func Departure(in units.System, p *alongside.Pair) string {
	place, turn := limitWords(in, p.Within.Place), logfile.Figures(geom.Degrees(p.Within.Heading))
	d := p.Departs
	if d == nil {
		if p.Farthest.Place > p.Within.Place || p.Turned != nil && math.Abs(*p.Turned.Heading) > p.Within.Heading {
			turn += " deg, but for less than a tenth of a second at a time."
		} else {
			turn += " deg."
		}
		return "stays within " + place + " and " + turn
	}
	line := fmt.Sprintf("departs by more than %s or %s deg at %.2f s, %s: %s.", place, turn, d.T, standWords(d.Stand),
		gapWords(in, d.Gap, false))
	if d.Begun < d.T {
		line += fmt.Sprintf(" That began at %.2f s, %s.", d.Begun, standWords(d.BegunStand))
	}
	return line
}

func standWords(s alongside.Stand) string {
	switch {
	case s.Line == 0:
		return "before any line of the routine"
	case s.Ended:
		return fmt.Sprintf("after the routine's end at %s:%d", s.File, s.Line)
	}
	return fmt.Sprintf("at %s:%d", s.File, s.Line)
}

// limitWords is a limit as its file has it, but in a person's units: "50 mm", "1.97 in".
func limitWords(in units.System, place float64) string {
	return in.Retold(logfile.Figures(1000*place) + " mm")
}

// gapWords is "52 mm (48 mm behind, 20 mm to the left) and 1.2 deg to the right at 3.42 s".
func gapWords(in units.System, g alongside.Gap, when bool) string {
	along, aside := "ahead", "to the left"
	if g.Ahead < 0 {
		along = "behind"
	}
	if g.Left < 0 {
		aside = "to the right"
	}
	words := in.Sprintf("%.0f mm (%.0f mm %s, %.0f mm %s)", g.Place, math.Abs(g.Ahead), along, math.Abs(g.Left), aside)
	if g.Heading != nil {
		words += " and " + turnWords(*g.Heading)
	}
	if when {
		words += fmt.Sprintf(" at %.2f s", g.T)
	}
	return words
}

func turnWords(heading float64) string {
	side := "to the left"
	if heading < 0 {
		side = "to the right"
	}
	return fmt.Sprintf("%.1f deg %s", math.Abs(geom.Degrees(heading)), side)
}

// signalForm is how a signal's SI unit is told.
type signalForm struct {
	unit     string
	scale    float64
	decimals int
}

func formOf(in units.System, si string) signalForm {
	switch si {
	case "m/s":
		shown := in.Shown("mm/s")
		return signalForm{shown.Name, 1000 * shown.Times, shown.Decimals(0)}
	case "rad/s":
		return signalForm{"deg/s", geom.Degrees(1), 1}
	}
	return signalForm{si, 1, 2}
}

// words is a value; a zero has no minus.
func (f signalForm) words(form string, si float64) string {
	parts := math.Pow10(f.decimals)
	return fmt.Sprintf(form, f.decimals, math.Round(f.scale*si*parts)/parts+0) + " " + f.unit
}
