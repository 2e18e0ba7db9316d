package viewmodel

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/app/report"
	"chalkfield/scripting/history"
)

// VariableRow is a row of the page of variables.
type VariableRow struct {
	Head   bool   // names a function that is under way; Label says where it stands
	Label  string // of a variable its name
	Value  string
	About  string
	Depth  int    // of an entry of a table
	Path   string // of the variable, for Unfold and ChartVariable
	Folds  bool   // a table, which can be unfolded
	Open   bool   // it is
	Number bool   // it can be a curve
	Curve  bool   // it is one
}

// place is where a variable is looked for: the function as its task calls it, and the variable's name with those of the
// tables that it is in.
type variablePlace struct{ task, function, name string }

// key of the signal that it is drawn as.
func (p variablePlace) key() string {
	return variableKey + strings.Join([]string{p.name, p.function, p.task}, keyGap)
}

// variableKey begins the keys of signals that are variables; keyGap parts the names in them.
const variableKey, keyGap = "variable ", "\x1f"

// variableOf is the place of a variable that is drawn as a signal; false for a signal of the record.
func variableOf(key string) (variablePlace, bool) {
	words, is := strings.CutPrefix(key, variableKey)
	parts := strings.Split(words, keyGap)
	if !is || len(parts) != 3 {
		return variablePlace{}, false
	}
	return variablePlace{name: parts[0], function: parts[1], task: parts[2]}, true
}

// IsVariable reports whether a signal is a variable.
func IsVariable(key string) bool {
	_, is := variableOf(key)
	return is
}

// FullWords say from when on nothing is kept.
func FullWords(h *history.History) string { return capital(report.FullWords(h)) + "." }

func capital(words string) string { return strings.ToUpper(words[:1]) + words[1:] }

// signal is the variable as one.
func (p variablePlace) signal() Signal {
	title := p.name + " of " + p.task
	switch {
	case p.task == everyTask:
		title = p.name + ", a global"
	case p.function != "":
		title = p.name + " in " + p.function + " of " + p.task
	}
	return Signal{Key: p.key(), Title: title, Column: p.name, Curves: []Curve{{Name: p.name}}}
}

// everyTask is in the place of a global in place of a task.
const everyTask = "*"

// charted are the variables that are drawn as signals.
func (d *Model) charted() []Signal {
	var list []Signal
	for _, key := range d.Signals {
		if place, is := variableOf(key); is {
			list = append(list, place.signal())
		}
	}
	return list
}

// functionOf is what a function is called in a place: "" for a task's own.
func functionOf(t *history.TaskState, i int) string {
	if i == len(t.Frames)-1 {
		return ""
	}
	return t.Frames[i].Called
}

// Variables are what the variables of the robot spoken of held at the time shown.
func (d *Model) Variables() []VariableRow {
	h := d.History(d.Robot)
	if h == nil {
		return nil
	}
	m, is := h.At(d.Time)
	if !is {
		return nil
	}
	var rows []VariableRow
	for _, t := range m.Tasks {
		for i, f := range t.Frames {
			rows = append(rows, VariableRow{Head: true, Label: report.StandWords(t, i)})
			at := variablePlace{task: t.Called(), function: functionOf(t, i)}
			rows = d.variableRows(rows, at, f.Locals, "a local of it", 0)
			rows = d.variableRows(rows, at, f.Upvalues, "a local of what is around it", 0)
		}
	}
	if len(m.Globals) > 0 {
		rows = append(rows, VariableRow{Head: true, Label: "globals"})
		rows = d.variableRows(rows, variablePlace{task: everyTask}, m.Globals, "a global", 0)
	}
	return rows
}

func (d *Model) variableRows(rows []VariableRow, at variablePlace, list []*history.Variable, what string,
	depth int) []VariableRow {
	for _, v := range list {
		place := at
		place.name = joinName(at.name, v.Name)
		key := place.key()
		row := VariableRow{Label: v.Name, Value: v.Words(), Depth: depth, Path: key,
			Folds: v.Kind == history.Table && len(v.Members) > 0, Open: d.unfolded[key], Curve: d.Shows(key)}
		_, row.Number = v.Curved()
		row.About = what
		switch {
		case row.Number:
			row.About += ": Enter draws it as a curve"
		case row.Folds:
			row.About += ": Enter shows its entries"
		}
		rows = append(rows, row)
		if row.Folds && row.Open {
			rows = d.variableRows(rows, place, v.Members, "an entry of "+place.name, depth+1)
			if more := int(v.Number) - len(v.Members); more > 0 {
				rows = append(rows, VariableRow{Label: fmt.Sprintf("... and %d more", more), Depth: depth + 1,
					About: "only the first entries of a table are kept"})
			}
		}
	}
	return rows
}

// joinName is the name of a table's entry, as a routine writes it.
func joinName(of, name string) string {
	switch {
	case of == "":
		return name
	case strings.HasPrefix(name, "["):
		return of + name
	}
	return of + "." + name
}

// Unfold shows the entries of a table, or hides them.
func (d *Model) Unfold(path string) {
	if d.unfolded == nil {
		d.unfolded = map[string]bool{}
	}
	d.unfolded[path] = !d.unfolded[path]
}

// variableSeries are a variable's values, one a sample, NaN where there is none or it holds no number.
func (r *Run) variableSeries(robot int, place variablePlace) []float64 {
	values := make([]float64, len(r.Record.Samples))
	var h *history.History
	if r.Kept != nil && robot < len(r.Kept.Histories) {
		h = r.Kept.Histories[robot]
	}
	for i := range values {
		values[i] = math.NaN()
		if h == nil {
			continue
		}
		if m, is := h.At(r.Record.Samples[i].T); is {
			if v := place.find(m); v != nil {
				if number, is := v.Curved(); is {
					values[i] = number
				}
			}
		}
	}
	return values
}

// find is the variable of a place at a moment; nil: there is none then.
func (p variablePlace) find(m history.Moment) *history.Variable {
	if p.task == everyTask {
		return entryOf(m.Globals, p.name)
	}
	for _, t := range m.Tasks {
		if t.Called() != p.task {
			continue
		}
		for i, f := range t.Frames {
			if functionOf(t, i) != p.function {
				continue
			}
			if v := entryOf(f.Locals, p.name); v != nil {
				return v
			}
			if v := entryOf(f.Upvalues, p.name); v != nil {
				return v
			}
		}
	}
	return nil
}

// entryOf finds a variable of a list by its name, or an entry of a table among them.
func entryOf(list []*history.Variable, name string) *history.Variable {
	return entryWithin(list, "", name)
}

func entryWithin(list []*history.Variable, of, name string) *history.Variable {
	i := slices.IndexFunc(list, func(v *history.Variable) bool {
		full := joinName(of, v.Name)
		rest, is := strings.CutPrefix(name, full)
		return is && (rest == "" || rest[0] == '.' || rest[0] == '[')
	})
	if i < 0 {
		return nil
	}
	if full := joinName(of, list[i].Name); full != name {
		return entryWithin(list[i].Members, full, name)
	}
	return list[i]
}
