package report

import (
	"fmt"
	"slices"
	"strings"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/record"
)

// inputTable lists files with their hashes: two reports of the same inputs and seeds say the same.
type inputTable struct{ Table }

func newInputs(field record.File) *inputTable {
	t := &inputTable{Table{Columns: heads("input", "file", "SHA-256")}}
	t.file("field", field)
	return t
}

func (t *inputTable) file(what string, f record.File) {
	t.Add(what, heading(f.Title, f.Name), fmt.Sprintf("%.12s", f.SHA256))
}

func (t *inputTable) robot(who string, r record.Robot) {
	t.file(who, r.File)
	t.file("routine of "+who, r.Routine)
}

// inputsOfRobot is what comes of a robot alone.
func inputsOfRobot(robot record.File, program string) *Table {
	t := &inputTable{Table{Columns: heads("input", "file", "SHA-256")}}
	t.file("robot", robot)
	t.Add("Chalkfield", program, "")
	return &t.Table
}

func inputsOfRun(h *record.Header, fingerprint string) *Table {
	t := newInputs(h.Field)
	for i, robot := range h.Robots {
		t.robot(fmt.Sprintf("robot %d", i+1), robot)
	}
	t.Add("record", "its fingerprint", fmt.Sprintf("%.12s", fingerprint))
	t.Add("Chalkfield", h.Program, "")
	return &t.Table
}

// valuesOf are the values of an axis, of many the first and the last.
func valuesOf(a results.Axis) string {
	const most = 10
	n := len(a.Labels)
	if n <= most {
		return strings.Join(a.Labels, ", ")
	}
	return fmt.Sprintf("%s, %s, ... %s (%d values)", a.Labels[0], a.Labels[1], a.Labels[n-1], n)
}

func inputsOf(h *results.Header) *Table {
	t := newInputs(h.Field)
	for i := range h.Variants {
		for k, robot := range h.Variants[i].Robots {
			who := fmt.Sprintf("robot %d", k+1)
			if len(h.Variants) > 1 {
				who = fmt.Sprintf("%s of %c", who, 'a'+i)
			}
			t.robot(who, robot)
		}
		for _, p := range h.Variants[i].Params {
			if !slices.ContainsFunc(h.Axes, func(a results.Axis) bool { return a.Name == "param:"+p.Name }) {
				t.Add("parameter", p.Name+" = "+p.Words(), "")
			}
		}
	}
	for _, a := range h.Axes {
		t.Add("varied", a.Name+" = "+valuesOf(a), "")
	}
	seeds := fmt.Sprint(h.Seed)
	if h.Count > 1 {
		seeds = fmt.Sprintf("%d to %d", h.Seed, h.Seed+uint64(h.Count)-1)
	}
	t.Add("seeds", seeds, "")
	t.Add("Chalkfield", h.Program, "")
	return &t.Table
}
