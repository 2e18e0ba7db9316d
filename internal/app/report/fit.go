package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"chalkfield/internal/app/fit"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/stats"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// fitted is a fit that is told.
type fitted struct {
	*fit.Result
	Changes []fit.Edit `json:"changes"`
	File    string     `json:"file,omitempty"` // that was written

	before *robot.Robot
}

// Fit tells what logs say of a robot, and what of it stands in the file that was written; "" for none.
func Fit(r *fit.Result, before *robot.Robot, file *fit.File, written string) *Document {
	f := fitted{r, file.Changes, written, before}
	title := strings.Join(strings.Fields(r.Robot), " ") // it may have several lines
	d := &Document{Title: title + ": what its logs say", Notes: endless(r.Warnings), Foot: Model, Data: f,
		Head: []string{fmt.Sprintf("%s fitted to %s: %s, %.0f s of driving", title, units.Counted(len(r.Logs), "log"),
			units.Counted(len(r.Drives), "drive"), r.Seconds)},
		Inputs: f.inputs()}
	d.Sections = []Section{f.seen()}
	if len(r.Findings) > 0 {
		d.Sections = append(d.Sections, Section{Title: "In words", Lines: r.Findings})
	}
	d.Sections = append(d.Sections, f.parameters(), f.drives())
	if len(r.Unclear) > 0 {
		d.Sections = append(d.Sections, f.unclear())
	}
	if written != "" {
		d.Sections = append(d.Sections, f.next())
	}
	return d
}

// endless are sentences without their stops: what shows them sets these.
func endless(sentences []string) []string {
	var out []string
	for _, s := range sentences {
		out = append(out, strings.TrimSuffix(s, "."))
	}
	return out
}

// seen says in one sentence how much better the new file predicts.
func (f fitted) seen() Section {
	before, after := f.medians(func(e fit.Errors) float64 { return e.Speed })
	if math.IsNaN(after) {
		return Section{}
	}
	const says = "Of drives that the fit had not seen, the speed is predicted to %s of what was measured; by the file as " +
		"it was, to %s."
	return Section{Lines: []string{fmt.Sprintf(says, share(after), share(before))}}
}

// medians of the drives that were held out: of an error before, and when held out; NaN without any.
func (f fitted) medians(of func(fit.Errors) float64) (before, heldOut float64) {
	var old, out []float64
	for _, d := range f.Drives {
		if d.HeldOut != nil {
			old, out = append(old, of(d.Before)), append(out, of(*d.HeldOut))
		}
	}
	return median(old), median(out)
}

// median of the numbers that are finite.
func median(list []float64) float64 {
	var known []float64
	for _, x := range list {
		if !math.IsNaN(x) && !math.IsInf(x, 0) {
			known = append(known, x)
		}
	}
	if known == nil {
		return math.NaN()
	}
	slices.Sort(known)
	return stats.Quantile(known, 0.5)
}

// share is a portion in percent, two digits of it.
func share(x float64) string { return figure(x, 100) + " %" }

// figure is a number so many times, with two digits; a dash for none.
func figure(x, times float64) string {
	switch x *= times; {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return "-"
	case math.Abs(x) >= 9.95:
		return fmt.Sprintf("%.0f", x)
	}
	return fmt.Sprintf("%.1f", x)
}

// states is what became of a parameter, for people.
var states = map[fit.State]string{fit.Fitted: "fitted", fit.Held: "held", fit.Untold: "not told by these logs",
	fit.Shared: "not told alone", fit.Derived: "follows from the others"}

func (f fitted) parameters() Section {
	t := &Table{Columns: heads("key", "#before", "#after", "#95 % between", "#change", "", "what became of it")}
	t.Columns[5].On = OnPage
	for i := range f.Parameters {
		p := &f.Parameters[i]
		state := states[p.State]
		if p.Why != "" {
			state += ": " + p.Why
		}
		like := f.written(p)
		if p.State != fit.Fitted && p.State != fit.Derived {
			t.Add(p.Key, fit.Printed(like, p.Before, 0, p.Unit), "as it was", "", "", "", state)
			continue
		}
		off, interval, change := (p.High-p.Low)/2, "", ""
		if p.Low != p.High {
			interval = fit.Between(like, p.Low, p.High, p.Unit)
		}
		if p.Before != 0 {
			change = fmt.Sprintf("%+.1f %%", 100*(p.After/p.Before-1))
		}
		row := t.Add(p.Key, fit.Printed(like, p.Before, off, p.Unit), fit.Printed(like, p.After, off, p.Unit), interval,
			change, "", state)
		if p.Low != p.High {
			row.Cells[5].Tracks = []Track{within(p)}
		}
	}
	return Section{Title: "Parameters", Table: t, Note: "Line: the new value; band: its 95 % interval, in which the " +
		"true value lies in 19 of 20 such fits; dashed: the value before. Each row has a scale of its own."}
}

// written is the file's text of a parameter, "" if it has none of this quantity.
func (f fitted) written(p *fit.Parameter) string {
	if len(p.Settings) == 0 || p.Settings[0].Unit != p.Unit {
		return ""
	}
	text, _, _ := tomlfile.Written([]byte(f.before.Text), p.Settings[0].Path)
	return text
}

// within draws a parameter's interval, its value and the one before.
func within(p *fit.Parameter) Track {
	low, high := min(p.Low, p.Before), max(p.High, p.Before)
	room := (high - low) * 0.06
	low, high = low-room, high+room
	at := func(x float64) float64 { return (x - low) / (high - low) }
	return Track{Label: p.Key + ", its interval and the value before", Ticks: []float64{at(p.After)},
		Marks: []float64{at(p.Before)},
		Bars:  []Bar{{Class: "range", From: at(p.Low), Width: at(p.High) - at(p.Low)}}}
}

// errorsOf are the errors that a drive's row tells: their column, how they are read, and in what unit.
var errorsOf = []struct {
	name  string
	of    func(d *fit.Drive, e fit.Errors) float64
	times float64
}{
	{"speed %", func(_ *fit.Drive, e fit.Errors) float64 { return e.Speed }, 100},
	{"end mm", func(_ *fit.Drive, e fit.Errors) float64 { return orNone(e.End) }, 1000},
	{"end, % of the way", func(d *fit.Drive, e fit.Errors) float64 { return orNone(e.End) / d.Way }, 100},
	{"heading deg", func(_ *fit.Drive, e fit.Errors) float64 { return orNone(e.Heading) }, 180 / math.Pi},
}

func orNone(x *float64) float64 {
	if x == nil {
		return math.NaN()
	}
	return *x
}

// drives tells how far the prediction of each lies from what was measured.
func (f fitted) drives() Section {
	t := &Table{Columns: heads("log", "drive", "#way")}
	for _, e := range errorsOf {
		t.Columns = append(t.Columns, Column{Name: e.name, Number: true})
	}
	all := make([][3][]float64, len(errorsOf))
	for i := range f.Drives {
		d := &f.Drives[i]
		cells := []string{d.Log, fmt.Sprintf("%s, %.1f to %.1f s", d.What, d.From, d.To), fmt.Sprintf("%.0f mm", d.Way*1000)}
		for k, e := range errorsOf {
			three := [3]float64{e.of(d, d.Before), e.of(d, d.After), math.NaN()}
			if d.HeldOut != nil {
				three[2] = e.of(d, *d.HeldOut)
			}
			for n, x := range three {
				all[k][n] = append(all[k][n], x)
			}
			cells = append(cells, threeOf(three, e.times))
		}
		t.Add(cells...)
	}
	if len(f.Drives) > 1 {
		cells := []string{"", "half of them are below", ""}
		for k, e := range errorsOf {
			cells = append(cells, threeOf([3]float64{median(all[k][0]), median(all[k][1]), median(all[k][2])}, e.times))
		}
		t.Add(cells...).Total = true
	}
	const means = "how far the prediction lies from what was measured: before / after / held out, which is by a fit to " +
		"all other drives"
	return Section{Title: "Drives", Lead: means, Table: t}
}

// threeOf is an error before, after and held out; a dash where nothing tells it.
func threeOf(e [3]float64, times float64) string {
	if median(e[:2]) != median(e[:2]) {
		return "-"
	}
	return figure(e[0], times) + " / " + figure(e[1], times) + " / " + figure(e[2], times)
}

// unclear is what the logs do not tell apart, and what would.
func (f fitted) unclear() Section {
	t := &Table{Look: Plain, Columns: heads("keys", "why, and what would tell")}
	for _, u := range f.Unclear {
		t.Add(strings.Join(u.Keys, ", "), u.Why).More = lines(u.Cure)
	}
	return Section{Title: "What these logs do not tell", Table: t}
}

// next says what to do with the new file.
func (f fitted) next() Section {
	return Section{Title: "Next", Lines: []string{
		"rehearse with it: chalkfield run mine.lua --robot " + f.File,
		"see whether your routines still do what they must: chalkfield check",
		"drive something else with the real robot, log it, and fit again: what was not seen counts"}}
}

// inputs lists what the fit was made from.
func (f fitted) inputs() *Table {
	t := &inputTable{Table{Columns: heads("input", "file", "SHA-256")}}
	t.Add("robot", heading(f.before.Title, f.before.Name), fmt.Sprintf("%.12s", f.before.SHA256))
	for _, log := range f.Logs {
		t.Add("log", fmt.Sprintf("%s, %.1f s", log.Name, log.Seconds), fmt.Sprintf("%.12s", log.SHA256))
	}
	if len(f.Logs) > 1 {
		t.Add("logs", "all of them, as the new file's comments name them", strings.Fields(f.From())[2])
	}
	t.Add("Chalkfield", rehearse.Program, "")
	return &t.Table
}
