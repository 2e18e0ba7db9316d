package findings

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Text writes what a sweep tells for a person.
func (s Sweep) Text(w io.Writer) error {
	out := &strings.Builder{}
	fmt.Fprintf(out, "%s: %d rehearsals at %d points on %s, %s\n", s.Name, s.Have, len(s.Points), s.Field, s.Session)
	if due := s.Count * len(s.Points); s.Have < due {
		fmt.Fprintf(out, "Not finished: %d of %d are done.\n", s.Have, due)
	}
	out.WriteString("\n")
	table := newTable(out)
	for _, a := range s.Axes {
		fmt.Fprintf(table, "  %s\t", a.Name)
	}
	fmt.Fprintf(table, "mean score\tgood (%g or more)\tlast point\tagainst the best\n", s.Need)
	for i := range s.Points {
		s.writePoint(table, i)
	}
	table.Flush()
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
	case i == s.Best:
		return "best"
	case p.Score.N == 0:
		return "not done yet"
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
	text := fmt.Sprintf("Greatest mean score: %.2f at %s.", best.Score.Mean, best.Label)
	switch others := len(s.Alike) - 1; {
	case s.Nominal && others > 0:
		text += fmt.Sprintf(" Other points that score the same: %d.", others)
	case s.Nominal:
	case others == len(s.Points)-1:
		text += fmt.Sprintf(" No other point is shown to be worse by %d rehearsals a point: the choice does not matter, or more rehearsals (-n) are needed.", s.Count)
	case others > 0:
		text += fmt.Sprintf(" Other points that are not shown to be worse: %d.", others)
	default:
		text += " Every other point is worse."
	}
	return text
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
	out.Write(append(head, "rehearsals", "mean score", "sd", "least", "most", "good", "good low 95 %", "good high 95 %", "last point [s]", "worse than best", "p"))
	for i := range s.Points {
		p := &s.Points[i]
		var row []string
		for k, a := range s.Axes {
			row = append(row, number(a.Values[p.At[k]]))
		}
		row = append(row, strconv.Itoa(p.Score.N), number(p.Score.Mean), number(p.Score.SD), number(p.Score.Least), number(p.Score.Most),
			number(p.Good.Portion()), number(p.Good.Interval.Low), number(p.Good.Interval.High), number(p.Last.Mean), number(p.Worse), number(p.P))
		out.Write(row)
	}
	out.Flush()
	return out.Error()
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', 8, 64) }
