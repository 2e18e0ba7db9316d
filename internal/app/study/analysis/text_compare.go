package analysis

import (
	"fmt"
	"io"
	"strings"

	"chalkfield/internal/base/units"
)

// Text writes what a comparison tells for a person.
func (c Compare) Text(w io.Writer) error {
	out := &strings.Builder{}
	fmt.Fprintf(out, "a: %s\nb: %s\n%s on %s, %s, each pair with the same seed, from %d\n", c.A, c.B,
		units.Counted(c.Pairs, "pair"), c.Field, c.Session, c.Seed)
	if c.Pairs < c.Count {
		fmt.Fprintf(out, "Not finished: %d of %d pairs are done.\n", c.Pairs, c.Count)
	}
	writeNotes(out, c.Notes)
	fmt.Fprintf(out, "\n%s\n\n", c.Score.Sentence)
	table := newTable(out)
	fmt.Fprintf(table, "  \ta\tb\tb - a\t95 %%\tp\tb higher, lower in\n")
	for _, d := range append([]Diff{c.Score, c.Last, c.Done}, c.Rules...) {
		c.writeRow(table, d)
	}
	table.Flush()
	fmt.Fprintf(out, "\n%s\n", c.GoodSentence())
	fmt.Fprintf(out, "Last piece scored: %s\nRoutine's end: %s\n", c.Last.Sentence, c.Done.Sentence)
	writeFailures(out, "Routine errors of a", c.ErrorsA)
	writeFailures(out, "Routine errors of b", c.ErrorsB)
	c.writePairs(out)
	fmt.Fprintf(out, "\n%s\n\n%s\n", CompareMeans, Model)
	_, err := io.WriteString(w, out.String())
	return err
}

// GoodSentence says how often each was good.
func (c Compare) GoodSentence() string {
	means := units.Counted(c.Need, "point") + " or more"
	if len(c.ErrorsA)+len(c.ErrorsB) > 0 {
		means += ", without an error"
	}
	return fmt.Sprintf("Good (%s): a %s, b %s", means, c.GoodA, c.GoodB)
}

// CompareMeans says how a difference is judged.
const CompareMeans = "Interval: Student's t of the paired differences. p: share of sign flips of the differences " +
	"that go at least as far (Fisher); rules corrected\n" +
	"for their number (Holm). Real: the interval keeps off 0 and p is below 0.05."

func (c Compare) writeRow(table io.Writer, d Diff) {
	if d.Pairs < 2 {
		fmt.Fprintf(table, "  %s\t-\t-\t-\t-\t-\t%s only\n", d.What, units.Counted(d.Pairs, "pair"))
		return
	}
	fmt.Fprintf(table, "  %s\t%.2f\t%.2f\t%+.2f\t%+.2f to %+.2f\t%s\t%d, %d of %d\n", d.What, d.A, d.B, d.Mean,
		d.Interval.Low, d.Interval.High, Chance(d.P), d.Higher, d.Lower, d.Pairs)
}

func (c Compare) writePairs(out *strings.Builder) {
	if len(c.Seeds) == 0 {
		return
	}
	out.WriteString("\nPairs that differ most\n")
	for _, p := range c.Seeds {
		fmt.Fprintf(out, "  seed %d: a %.6g, b %.6g points\n      %s\n      %s\n", p.Seed, p.A, p.B, p.OpenA, p.OpenB)
	}
}

// Chance prints a p-value: "0.013", "< 0.001".
func Chance(p float64) string {
	if p < 0.001 {
		return "< 0.001"
	}
	return fmt.Sprintf("%.3f", p)
}
