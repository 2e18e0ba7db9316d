package report

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"chalkfield/internal/app/fit"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// NewFile is a robot file with what was fitted, and where it goes.
type NewFile struct {
	*fit.File
	Before *robot.Robot
	Path   string       // "" for nowhere
	There  *robot.Robot // the one that stands at the path; nil: none
	Over   bool         // it is written over
	Notes  []string     // on the logs: what was assumed, what was left out
	Doubt  string       // why the new file is no better than the one before, "" if it is
}

// Written reports whether the file is to be written: not without a path, not over another or in doubt unless that is
// said, not if nothing was found.
func (n *NewFile) Written() bool {
	return n.Path != "" && (n.There == nil && n.Doubt == "" || n.Over) && len(n.Changes) > 0
}

// fitted is a fit that is told.
type fitted struct {
	*fit.Result
	Headline *headline  `json:"speed_error,omitempty"`
	Notes    []string   `json:"notes"`
	Changes  []fit.Edit `json:"changes"`
	Path     string     `json:"file"`
	Written  bool       `json:"written"`

	file *NewFile
	in   units.System
}

// headline is the first sentence in numbers: what over half the way of all drives the error of speed is below, as a
// share of it.
type headline struct {
	Before  float64 `json:"before"`
	HeldOut float64 `json:"held_out"`
	Noise   float64 `json:"noise"` // what the sensors' noise alone makes
}

// Fit tells what logs say of a robot, and what of it is written.
func Fit(in units.System, r *fit.Result, file *NewFile) *Document {
	f := fitted{r, nil, file.Notes, file.Changes, file.Path, file.Written(), file, in}
	if before, heldOut := f.medians(func(e fit.Errors) float64 { return e.Speed }); heldOut == heldOut {
		f.Headline = &headline{before, heldOut, f.noise()}
	}
	title := strings.Join(strings.Fields(r.Robot), " ") // it may have several lines
	d := &Document{In: in, Title: title + ": what its logs say", Foot: Model, Data: f,
		Notes: retold(in, append(endless(file.Notes), endless(r.Warnings)...)),
		Head: []string{fmt.Sprintf("%s fitted to %s: %s, %.0f s of driving", title, units.Counted(len(r.Logs), "log"),
			units.Counted(len(r.Drives), "drive"), r.Seconds)},
		Inputs: f.inputs()}
	if file.Doubt != "" {
		d.Notes = append([]string{file.Doubt}, d.Notes...)
	}
	d.Sections = []Section{f.seen()}
	if len(r.Findings) > 0 {
		d.Sections = append(d.Sections, Section{Title: "In words", Lines: retold(in, r.Findings)})
	}
	d.Sections = append(d.Sections, f.parameters(), f.drives())
	if len(r.Unclear) > 0 {
		d.Sections = append(d.Sections, f.unclear())
	}
	d.Sections = append(d.Sections, f.changes())
	if f.Written && file.Doubt == "" {
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
	if f.Headline == nil {
		return Section{}
	}
	before, after := f.Headline.Before, f.Headline.HeldOut
	const says = "Over half the way of drives that the fit had not seen, the predicted speed is off by less than %s%s; " +
		"by the file as it was, by %s."
	return Section{Lines: []string{fmt.Sprintf(says, share(after), f.ofNoise(after), share(before))}}
}

// worthSaying is the part of an error from which on the sensors' noise in it is told of.
const worthSaying = 0.3

// ofNoise says how much of an error of speeds the sensors' noise makes, for the best model there is has that too.
func (f fitted) ofNoise(after float64) string {
	noise := f.Headline.Noise
	if noise >= after {
		return ", no more than the sensors' noise makes"
	}
	if !(noise > worthSaying*after) {
		return ""
	}
	return fmt.Sprintf(" (%s is the sensors' noise alone)", share(noise))
}

// noise is what the sensors' noise alone makes, over half the way.
func (f fitted) noise() float64 {
	var list []float64
	for _, d := range f.Drives {
		list = append(list, d.Noise)
	}
	return f.median(list)
}

// What a fit must come to, common practice, no source.
const (
	farOff  = 0.5  // the error of speeds from which on it is of no use
	noticed = 0.95 // what an error must have come down to for the file to be called better
)

// Doubt says why a fit makes no better file than the one before; "" if it does.
func Doubt(r *fit.Result) string {
	before, after := fitted{Result: r}.medians(func(e fit.Errors) float64 { return e.Speed })
	switch {
	case after > farOff:
		return fmt.Sprintf("the fit is of no use: the speed of drives that it had not seen is off by %s; look whether the "+
			"logs are of this robot, and their columns what they are called", share(after))
	case after >= float64(noticed*before):
		return fmt.Sprintf("the fit is no better than the file as it was: the speed of drives that it had not seen is off "+
			"by %s, by the file by %s", share(after), share(before))
	}
	return ""
}

// medians of the drives that were held out: of an error before, and when held out; NaN without any.
func (f fitted) medians(of func(fit.Errors) float64) (before, heldOut float64) {
	var old, out []float64
	for _, d := range f.Drives {
		was, is := math.NaN(), math.NaN()
		if d.HeldOut != nil {
			was, is = of(d.Before), of(*d.HeldOut)
		}
		old, out = append(old, was), append(out, is)
	}
	return f.median(old), f.median(out)
}

// median of an error of each drive, of the finite ones: half of the way that the sides went has less. A drive of no way
// counts nothing, unless none has any.
func (f fitted) median(list []float64) float64 {
	var known []int
	total := 0.0
	for i, x := range list {
		if !math.IsNaN(x) && !math.IsInf(x, 0) {
			known, total = append(known, i), total+f.Drives[i].SidesWay
		}
	}
	slices.SortStableFunc(known, func(i, k int) int { return cmp.Compare(list[i], list[k]) })
	weight := func(i int) float64 { return f.Drives[i].SidesWay }
	if total == 0 {
		weight, total = func(int) float64 { return 1 }, float64(len(known))
	}
	sum := 0.0
	for n, i := range known {
		sum += weight(i)
		switch {
		case sum == total/2 && n+1 < len(known):
			return (list[i] + list[known[n+1]]) / 2
		case sum >= total/2:
			return list[i]
		}
	}
	return math.NaN()
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
	t.Columns[4].On, t.Columns[5].On = InTerminal, OnPage
	for i := range f.Parameters {
		p := &f.Parameters[i]
		state := states[p.State]
		if p.Why != "" {
			state += ": " + p.Why
		}
		like := f.written(p)
		if p.State != fit.Fitted && p.State != fit.Derived {
			t.Add(p.Key, "", fit.Printed(like, p.Before, 0, p.Unit), "", "", "", state)
			continue
		}
		off, interval, change := (p.High-p.Low)/2, "", ""
		if p.Low != p.High {
			interval = fit.Between(like, p.Low, p.High, p.Unit)
		}
		if p.Before != 0 {
			change = fmt.Sprintf("%+.1f %%", 100*(p.After/p.Before-1))
		}
		if off == 0 {
			off = 0.002 * math.Abs(p.After)
		}
		after := fit.Printed(like, p.After, off, p.Unit)
		_, unit, _ := strings.Cut(after, " ")
		row := t.Add(p.Key, bare(fit.Printed(like, p.Before, off, p.Unit), unit), after, bare(interval, unit), change, "",
			state)
		if p.Low != p.High {
			row.Cells[5].Tracks = []Track{within(p)}
		}
	}
	return Section{Title: "Parameters", Table: t, Note: "Line: the new value; band: its 95 % interval, in which the " +
		"true value lies in 19 of 20 such fits if the model is right and what was held is; dashed: the value before. Each " +
		"row has a scale of its own. wheels.across and wheels.along are one factor for all wheels."}
}

// bare leaves out a unit that stands beside it.
func bare(text, unit string) string { return strings.TrimSuffix(text, " "+unit) }

// written is the file's text of a parameter, "" if it has none of this quantity.
func (f fitted) written(p *fit.Parameter) string {
	if len(p.Settings) == 0 || p.Settings[0].Unit != p.Unit {
		return ""
	}
	text, _, _ := tomlfile.Written([]byte(f.file.Before.Text), p.Settings[0].Path)
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
	unit  string // metric, where a person may have another
}{
	{"speed %", func(_ *fit.Drive, e fit.Errors) float64 { return e.Speed }, 100, ""},
	{"end", func(_ *fit.Drive, e fit.Errors) float64 { return orNone(e.End) }, 1000, "mm"},
	{"end, % of the way", func(d *fit.Drive, e fit.Errors) float64 { return orNone(e.End) / d.Way }, 100, ""},
	{"heading deg", func(_ *fit.Drive, e fit.Errors) float64 { return orNone(e.Heading) }, 180 / math.Pi, ""},
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
	for i := range f.Drives {
		d := &f.Drives[i]
		t.Add(d.Log, fmt.Sprintf("%s, %.1f to %.1f s", d.What, d.From, d.To), f.in.Sprintf("%.0f mm", d.Way))
	}
	if len(f.Drives) > 1 {
		t.Add("", "half of the way is below", "").Total = true
	}
	for _, e := range errorsOf {
		if e.unit != "" {
			shown := f.in.Shown(e.unit)
			e.name, e.times = e.name+" "+shown.Name, e.times*shown.Times
		}
		var all [3][]float64
		for i := range f.Drives {
			d := &f.Drives[i]
			three := [3]float64{e.of(d, d.Before), e.of(d, d.After), math.NaN()}
			if d.HeldOut != nil {
				three[2] = e.of(d, *d.HeldOut)
			}
			for n, x := range three {
				all[n] = append(all[n], x)
			}
		}
		if whole := f.median(all[0]); whole != whole {
			continue // the logs do not tell it
		}
		t.Columns = append(t.Columns, Column{Name: e.name, Number: true})
		for i := range t.Rows {
			three := [3]float64{f.median(all[0]), f.median(all[1]), f.median(all[2])}
			if i < len(f.Drives) {
				three = [3]float64{all[0][i], all[1][i], all[2][i]}
			}
			t.Rows[i].Cells = append(t.Rows[i].Cells, Cell{Words: threeOf(three, e.times)})
		}
	}
	return Section{Title: "Drives", Table: t, Lead: "how far the prediction lies from what was measured: before / after " +
		"/ held out, which is by a fit to all other drives; ends are by x and y, or else by travel and heading"}
}

// threeOf is an error before, after and held out; a dash where nothing tells it.
func threeOf(e [3]float64, times float64) string {
	if e[0] != e[0] && e[1] != e[1] {
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

// changes are the lines of the file that are written, or would be: before, after. Over another file, before is what
// that one has.
func (f fitted) changes() Section {
	t := &Table{Look: Plain, Columns: heads("key", "#before", "", "#after", "")}
	t.Columns[2].On = InTerminal
	there := f.file.There
	var list []fit.Edit
	for _, c := range f.Changes {
		if there != nil {
			c.Before, _, _ = tomlfile.Written([]byte(there.Text), c.Path)
		}
		c.Before = cmp.Or(c.Before, "left out")
		list = append(list, c)
	}
	for _, c := range together(list) {
		interval := ""
		if c.Interval != "" {
			interval = "95 % between " + c.Interval
		}
		t.Add(c.key(), c.Before, "->", c.After, interval)
	}
	s := Section{Title: "Written into " + f.Path, Lead: "before -> after", Table: t}
	switch {
	case len(f.Changes) == 0:
		return Section{Title: "Nothing is written", Lines: []string{"these logs tell no value of the file"}}
	case f.Path == "":
		s.Title, s.Below = "Not written", []string{"to write a new robot file: --out fitted.toml"}
	case !f.Written && there == nil:
		s.Title, s.Below = "Not written: "+f.file.Doubt, []string{"to write it all the same, say --write as well"}
	case !f.Written:
		s.Title = "Not written: " + f.Path + " is there already"
		s.Below = []string{"to write over it, say --write as well"}
	}
	if there != nil && there.SHA256 != f.file.Before.SHA256 {
		s.Below = append(s.Below, fmt.Sprintf("all other lines of %s: as %s has them", f.Path, f.file.Before.Name))
	}
	return s
}

// run is what is written alike into elements of a list that follow each other.
type run struct {
	fit.Edit
	first, last int // of the list's elements; both -1 for no list
}

var index = regexp.MustCompile(`\[([0-9]+)\]`)

// together joins what is written alike: wheels[0 to 2].radius.
func together(list []fit.Edit) (out []run) {
	for _, e := range list {
		next := run{e, -1, -1}
		if place := index.FindStringSubmatch(e.Path); place != nil {
			next.first, _ = strconv.Atoi(place[1])
			next.last = next.first
			next.Path = strings.Replace(e.Path, place[0], "[]", 1)
		}
		if n := len(out) - 1; n >= 0 && next.first >= 0 && out[n].Edit == next.Edit && out[n].last+1 == next.first {
			out[n].last = next.last
			continue
		}
		out = append(out, next)
	}
	return out
}

// key is the path, with the elements' numbers.
func (r run) key() string {
	number := strconv.Itoa(r.first)
	if r.last > r.first {
		number += " to " + strconv.Itoa(r.last)
	}
	return strings.Replace(r.Path, "[]", "["+number+"]", 1)
}

// next says what to do with the new file.
func (f fitted) next() Section {
	return Section{Title: "Next", Lines: []string{
		"rehearse with it: `chalkfield run mine.lua --robot " + f.Path + "`",
		"see whether your routines still do what they must: `chalkfield check`",
		"drive something else with the real robot, log it, and fit again: what was not seen counts"}}
}

// inputs lists what the fit was made from.
func (f fitted) inputs() *Table {
	t := &inputTable{Table{Columns: heads("input", "file", "SHA-256")}}
	t.Add("robot", heading(f.file.Before.Title, f.file.Before.Name), fmt.Sprintf("%.12s", f.file.Before.SHA256))
	for _, log := range f.Logs {
		t.Add("log", fmt.Sprintf("%s, %.1f s", log.Name, log.Seconds), fmt.Sprintf("%.12s", log.SHA256))
	}
	if len(f.Logs) > 1 {
		t.Add("logs", "all of them, as the new file's comments name them", strings.Fields(f.From())[2])
	}
	t.Add("Chalkfield", rehearse.Program, "")
	return &t.Table
}
