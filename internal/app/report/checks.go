package report

import (
	"cmp"
	"fmt"

	"chalkfield/internal/app/check"
	"chalkfield/internal/base/units"
)

// Checks tells which cases held, and what fell short in the others.
func Checks(o *check.Outcome) *Document {
	t := &Table{Look: Plain, Columns: []Column{{Width: 5}, {}}}
	told := map[string]bool{} // what is wrong with a file is told at the first of its cases
	for _, c := range o.Cases {
		words := c.File + ": " + cmp.Or(c.Case, "could not be judged")
		if c.Facts != "" {
			words += fmt.Sprintf(" (%s)", c.Facts)
		}
		row := t.Add(string(c.State), words)
		if key := c.File + "\n" + c.Error; c.Error != "" && told[key] {
			row.More = []string{"the same"}
		} else {
			row.More, told[key] = lines(c.Error), true
		}
		for _, s := range c.Shortfalls {
			row.More = append(row.More, "expected  "+s.Expected, "happened  "+s.Happened, s.Place())
		}
		if len(c.Shortfalls) > 0 {
			row.More = append(row.More, "see it    "+c.Open)
		}
		row.More = append(row.More, c.Notes...)
	}
	files := o.Files()
	sum := fmt.Sprintf("%s: %d held, %d fell short, %d could not be judged", units.Counted(len(o.Cases)-files, "case"),
		o.Held, o.Short, o.Wrong-files)
	if files > 0 {
		sum += fmt.Sprintf("; %s could not be judged", units.Counted(files, "whole file"))
	}
	return &Document{Sections: []Section{{Table: t, Below: []string{sum}}}, Data: o}
}
