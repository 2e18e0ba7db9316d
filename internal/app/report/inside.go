package report

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/scripting/history"
)

// Moment is what a routine's variables held at a time, for machines.
type Moment struct {
	At float64 `json:"at"` // s
	history.Moment
}

// Line is when a line of a routine ran, for machines.
type Line struct {
	File string       `json:"file"`
	Line int          `json:"line"`
	Took float64      `json:"took"` // s that tasks stood at it, or in what it called, summed
	Ran  [][2]float64 `json:"ran"`  // s, from and to, each time
}

// AddVariables adds to a rehearsal's document what the routine's variables held at a time.
func (d *Document) AddVariables(h *history.History, at float64) {
	title := fmt.Sprintf("Variables at %.2f s", at)
	m, is := h.At(at)
	switch {
	case h.Full > 0 && at >= h.Full:
		d.Sections = append(d.Sections, Section{Title: title, Lines: []string{FullWords(h)}})
		return
	case !is || len(m.Tasks) == 0:
		m.Tasks = []*history.TaskState{}
		d.Sections = append(d.Sections, Section{Title: title, Lines: []string{"no task of the routine is at work"}})
	}
	d.with(func(a *Account) { a.Variables = &Moment{at, m} })
	for _, t := range m.Tasks {
		for i, f := range t.Frames {
			s := Section{Title: title + ": " + StandWords(t, i), Table: plainPair()}
			s.Table.variables("", f.Locals)
			s.Table.variables("", f.Upvalues)
			if len(s.Table.Rows) == 0 {
				s.Lines, s.Table = []string{"none"}, nil
			}
			d.Sections = append(d.Sections, s)
		}
	}
	if len(m.Globals) > 0 {
		s := Section{Title: title + ": globals", Table: plainPair()}
		s.Table.variables("", m.Globals)
		d.Sections = append(d.Sections, s)
	}
}

// FullWords says from when on a history has nothing.
func FullWords(h *history.History) string {
	return fmt.Sprintf("from %.2f s on nothing is kept: the routine's variables change so much that they fill %d MB",
		h.Full, history.Usual>>20)
}

// StandWords says where a function of a task stands.
func StandWords(t *history.TaskState, i int) string {
	f := t.Frames[i]
	at := fmt.Sprintf("%s:%d", f.File, f.Line)
	switch {
	case i == len(t.Frames)-1 && t.Failed:
		return fmt.Sprintf("%s failed at %s", t.Called(), at)
	case i == len(t.Frames)-1:
		return fmt.Sprintf("%s at %s", t.Called(), at)
	}
	return fmt.Sprintf("%s at %s, in %s", t.Called(), at, f.Called)
}

func plainPair() *Table { return &Table{Look: Plain, Columns: heads("name", "value")} }

// variables adds a row each, and one for each entry of a table that has no room in a line.
func (t *Table) variables(lead string, list []*history.Variable) {
	for _, v := range list {
		words := v.Words()
		t.Add(lead+v.Name, words)
		if !v.InLine() {
			t.variables(lead+"  ", v.Members)
		}
	}
}

// AddLines adds when each line of the routine ran, the main file's first.
func (d *Document) AddLines(h *history.History, main string, texts map[string]string) {
	files := slices.Sorted(maps.Keys(h.Files))
	slices.SortStableFunc(files, func(a, b string) int {
		switch {
		case a == main:
			return -1
		case b == main:
			return 1
		}
		return 0
	})
	for _, file := range files {
		s := Section{Title: "Lines of " + file, Table: &Table{Columns: heads("#line", "#ran", "#first at", "#took", "")}}
		text := strings.Split(texts[file], "\n")
		for i, runs := range h.Files[file] {
			if len(runs.Spans) == 0 || i >= len(text) {
				continue
			}
			l := Line{File: file, Line: i + 1, Took: record.Round(history.Seconds(int32(runs.Took)))}
			for _, span := range runs.Spans {
				l.Ran = append(l.Ran, [2]float64{history.Seconds(span.From), history.Seconds(span.To)})
			}
			d.with(func(a *Account) { a.Lines = append(a.Lines, l) })
			s.Table.Add(fmt.Sprint(l.Line), units.Counted(len(l.Ran), "time"), fmt.Sprintf("%.2f s", l.Ran[0][0]),
				fmt.Sprintf("%.2f s", l.Took), strings.TrimSpace(text[i]))
		}
		if h.Full > 0 {
			s.Lines = []string{FullWords(h)}
		}
		d.Sections = append(d.Sections, s)
	}
}
