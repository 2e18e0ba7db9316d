package analysis

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"

	"chalkfield/internal/base/units"
)

// Text writes what a sweep tells for a person.
func (s Sweep) Text(w io.Writer) error {
	out := &strings.Builder{}
	fmt.Fprintf(out, "%s: %s at %s on %s, %s\n", s.Name, units.Counted(s.Have, "rehearsal"),
		units.Counted(len(s.Points), "point"), s.Field, s.Session)
	if due := s.Count * len(s.Points); s.Have < due {
		fmt.Fprintf(out, "Not finished: %d of %d are done.\n", s.Have, due)
	}
	writeNotes(out, s.Notes)
	out.WriteString("\n")
	table := newTable(out)
	for _, a := range s.Axes {
		fmt.Fprintf(table, "  %s\t", a.Name)
	}
	fmt.Fprintf(table, "mean score\tgood (%.6g or more)\tlast piece scored\tagainst the best\n", s.Need)
	for i := range s.Points {
		s.writePoint(table, i)
	}
	table.Flush()
	s.writeErrors(out)
	fmt.Fprintf(out, "\n%s\n", s.Sentence())
	if s.Caution != "" {
		fmt.Fprintf(out, "%s\n", s.Caution)
	}
	fmt.Fprintf(out, "\n%s\n", Model)
	_, err := io.WriteString(w, out.String())
	return err
}

func (s Sweep) writePoint(table io.Writer, i int) {
	p := &s.Points[i]
	for k, a := range s.Axes {
		fmt.Fprintf(table, "  %s\t", a.Labels[p.At[k]])
	}
	if p.Score.N == 0 {
		fmt.Fprintf(table, "-\t-\t-\tnot done yet\n")
		return
	}
	last := "-"
	if p.Last.N > 0 {
		last = fmt.Sprintf("%.2f s", p.Last.Mean)
	}
	fmt.Fprintf(table, "%.2f\t%s\t%s\t%s\n", p.Score.Mean, s.goodWords(p), last, s.Verdict(i))
}

// writeErrors lists the errors point by point, as far as they do not fill the screen.
func (s Sweep) writeErrors(out *strings.Builder) {
	told := 0
	for i := range s.Points {
		p := &s.Points[i]
		if len(p.Errors) == 0 {
			continue
		}
		if told++; told > failuresListed {
			out.WriteString("\nFurther points at which routines failed: see the table, or --json.\n")
			return
		}
		writeFailures(out, "Routine errors at "+p.Label, p.Errors)
	}
}

// goodWords gives the interval only where something was drawn.
func (s Sweep) goodWords(p *Point) string {
	if s.Nominal {
		return map[bool]string{true: "yes", false: "no"}[p.Good.Hits > 0]
	}
	return p.Good.String()
}

// Verdict says how a point stands against the best.
func (s Sweep) Verdict(i int) string {
	p := &s.Points[i]
	switch {
	case p.Score.N == 0:
		return "not done yet"
	case p.Failed > 0 && s.Nominal:
		return "the routine fails with an error"
	case p.Failed > 0:
		return fmt.Sprintf("the routine failed in %d of %d", p.Failed, p.Score.N)
	case len(s.Points) == 1:
		return "-"
	case i == s.Best:
		return "best"
	case !s.Told && p.Worse == 0:
		return "the same mean, too few to tell"
	case !s.Told:
		return fmt.Sprintf("%.2f below, too few to tell", p.Worse)
	case s.NotWorse(i) && s.Nominal:
		return "the same"
	case s.NotWorse(i):
		return "not shown to be worse"
	}
	return fmt.Sprintf("%.2f worse", p.Worse)
}

// Sentence tells the outcome.
func (s Sweep) Sentence() string {
	best := &s.Points[s.Best]
	if len(s.Points) == 1 {
		return fmt.Sprintf("Mean score: %.2f at %s, the only point: there is nothing to hold it against.", best.Score.Mean,
			best.Label)
	}
	text := fmt.Sprintf("Greatest mean score: %.2f at %s", best.Score.Mean, best.Label)
	if ties := s.ties(); ties > 0 && !s.Nominal {
		text += fmt.Sprintf(", and the same at %s", units.Counted(ties, "other point"))
	}
	if best.Failed > 0 {
		text += ", although the routine fails there"
	}
	text += "." + s.others()
	failing := 0
	for i := range s.Points {
		if s.Points[i].Failed > 0 {
			failing++
		}
	}
	if failing > 0 {
		text += fmt.Sprintf(" The routine failed with an error at %d of %s.", failing,
			units.Counted(len(s.Points), "point"))
	}
	return text
}

// ties counts the other points with the mean of the best.
func (s Sweep) ties() int {
	n := 0
	for i := range s.Points {
		if p := &s.Points[i]; i != s.Best && p.Score.N > 0 && p.Failed == 0 && p.Score.Mean == s.Points[s.Best].Score.Mean {
			n++
		}
	}
	return n
}

// others tells how the other points stand against the best.
func (s Sweep) others() string {
	alike, worse := len(s.Alike)-1, 0
	for i := range s.Points {
		if p := &s.Points[i]; p.Score.N > 0 && p.Failed == 0 && !s.NotWorse(i) {
			worse++
		}
	}
	switch {
	case !s.Told:
		return fmt.Sprintf(" With %s nothing can be shown to be worse: this grid needs %d at least (-n %d).", s.eachPoint(),
			s.Fewest, s.Fewest)
	case s.Nominal && alike > 0:
		return fmt.Sprintf(" Other points that score the same: %d.", alike)
	case s.Nominal:
		return ""
	case worse == 0 && alike > 0:
		return fmt.Sprintf(" No other point is shown to be worse by %s: the choice matters little, or more rehearsals "+
			"(-n) are needed.", s.eachPoint())
	case alike > 0:
		return fmt.Sprintf(" Other points that are not shown to be worse: %d.", alike)
	case worse > 0 && worse == len(s.Points)-1:
		return " Every other point is worse."
	case worse > 0:
		return fmt.Sprintf(" Points that are worse: %d.", worse)
	}
	return ""
}

// eachPoint is how many rehearsals the best point has: "5 rehearsals a point".
func (s Sweep) eachPoint() string {
	return units.Counted(s.Points[s.Best].Score.N, "rehearsal") + " a point"
}

// CSV writes one line a point, for spreadsheets.
func (s Sweep) CSV(w io.Writer) error {
	out := csv.NewWriter(w)
	var head []string
	for _, a := range s.Axes {
		name := a.Name
		if a.Unit != "" {
			name += " [" + a.Unit + "]"
		}
		head = append(head, name)
	}
	out.Write(append(head, "rehearsals", "mean score", "sd", "least", "most", "good", "good low 95 %", "good high 95 %",
		"last piece scored [s]", "worse than best", "p", "failed"))
	for i := range s.Points {
		p := &s.Points[i]
		var row []string
		for k, a := range s.Axes {
			row = append(row, number(a.Values[p.At[k]]))
		}
		row = append(row, strconv.Itoa(p.Score.N), number(p.Score.Mean), number(p.Score.SD), number(p.Score.Least),
			number(p.Score.Most),
			number(p.Good.Portion()), number(p.Good.Interval.Low), number(p.Good.Interval.High), number(p.Last.Mean),
			number(p.Worse), number(p.P), strconv.Itoa(p.Failed))
		out.Write(row)
	}
	out.Flush()
	return out.Error()
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', 8, 64) }
