package window

import (
	"cmp"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
)

// studies chooses what is rehearsed and how often, in a list beside the field, and lets paths of the field be pointed
// at.
type studies struct {
	*fieldView
	disk     *disk
	notebook *notebook
	numbers  *numbers
	trials   float64 // asked for
	pairs    float64
	each     float64  // rehearsals at each value of a sweep
	need     *float64 // points that are good; nil: the plan's
	before   int      // of the versions, the one that is compared with
	swept    swept
	over     int // path pointed at, -1: none
	pressed  geom.Vec
	taken    int // path that the pointer went down on, -1: none
	have     int // rehearsals done, as last drawn
}

// swept is the number that a sweep goes through.
type swept struct {
	axis     string // as `chalkfield sweep --x` names it; "": none is chosen
	words    string
	line     int // of the routine's text; 0: it is a value of param()
	from, to float64
	step     float64
	values   float64
}

func newStudies(view *fieldView, disk *disk, notebook *notebook, numbers *numbers) *studies {
	asked := view.memory.Asked
	return &studies{fieldView: view, disk: disk, notebook: notebook, numbers: numbers, trials: cmp.Or(asked.Trials, 200),
		pairs: cmp.Or(asked.Pairs, 200), each: cmp.Or(asked.Each, 30), over: -1, taken: -1}
}

// How many there can be of what.
var (
	counts    = []float64{20, 50, 100, 200, 500, 1000, 2000, 5000}
	atEach    = []float64{5, 10, 20, 30, 50, 100, 200, 500}
	gridSizes = []float64{2, 3, 4, 5, 6, 7, 9, 11, 13, 15, 21, 31}
)

// want has the window drawn when a study has come on.
func (s *studies) want(*wants) {
	if study := s.model.Study(); study != nil {
		have, _ := study.Progress()
		s.stale = s.stale || have != s.have
		s.have = have
	}
}

// showList opens the list.
func (s *studies) showList() {
	s.lay(&card{name: "studies", title: "Studies from here", key: ebiten.KeyJ, own: true, passes: true,
		foot: "Left, Right or a drag turn what a row says (" + strides + "), Enter or a click does, J or Esc closes.",
		rows: s.rows})
}

func (s *studies) rows() []cardRow {
	var rows []cardRow
	if study := s.model.Study(); study != nil {
		rows = append(rows, s.studyRows(study)...)
	}
	rows = append(rows, s.chosenRows()...)
	rows = append(rows, s.trialRows()...)
	rows = append(rows, s.compareRows()...)
	return append(rows, s.sweepRows()...)
}

// studyRows are about the study that there is.
func (s *studies) studyRows(study *viewmodel.Study) []cardRow {
	have, due := study.Progress()
	done := fmt.Sprintf("%d of %d", have, due)
	if due == 0 {
		done = "being made ready"
	}
	rows := []cardRow{{label: "This study", head: true}}
	if s.model.StudyRuns() {
		return append(rows, cardRow{label: "Give it up", note: done, keeps: true, do: func() { s.model.StopStudy() }})
	}
	return append(rows, cardRow{label: "Show what it tells", note: done, keeps: true, do: s.turnToPage},
		cardRow{label: "paths on the field", on: s.model.Bundle, keeps: true, do: s.model.ToggleBundle},
		cardRow{label: "Put it away", keeps: true, do: s.model.DropStudy})
}

// chosenRows are what is rehearsed.
func (s *studies) chosenRows() []cardRow {
	c := s.model.Chosen()
	choose := func(seed uint64) {
		c.Seed, c.Nominal = seed, false
		s.model.Choose(c)
	}
	typeSeed := func(typed string) { s.typeWhole("Rehearse seed", typed, 0, choose) }
	drawn := strconv.FormatUint(c.Seed, 10)
	if c.Nominal {
		drawn = "nothing is drawn"
	}
	rows := []cardRow{{label: "What is rehearsed", head: true},
		{label: "seed", note: drawn, keeps: true, do: func() {}, digit: typeSeed,
			turn:  func(way float64) { choose(stepped(c.Seed, way)) },
			about: "draws the spread and the noise; digits, or a click on the number, type another"},
		{label: "type a seed", keeps: true, do: func() { typeSeed("") }},
		{label: "nominal: draw nothing", on: c.Nominal, keeps: true, do: func() {
			c.Nominal = !c.Nominal
			s.model.Choose(c)
		}}}
	session := ring(s.model.Sessions(), s.model.Session(), s.model.ChooseSession)
	rows = append(rows, cardRow{label: "session", note: s.model.Session(), keeps: true, do: func() { session(1) },
		turn: session})
	if s.model.Files.Record != "" {
		return rows // sides and robots are those of the record
	}
	side := ring(s.model.Sides(), s.model.OwnSide(), func(name string) {
		c.Side = name
		s.model.Choose(c)
	})
	rows = append(rows, cardRow{label: "side", note: s.model.OwnSide(), keeps: true, do: func() { side(1) }, turn: side})
	return append(rows, s.otherRows(c)...)
}

// otherRows are the other robots.
func (s *studies) otherRows(c viewmodel.Choices) []cardRow {
	const tip = "a routine, a record or a log of another robot"
	partner := cardRow{label: "partner", note: "nobody", about: tip, keeps: true, do: func() {
		s.disk.pick("Partner", robotFiles, func(path string) {
			c.Partner = path
			s.model.Choose(c)
		})
	}}
	if c.Partner != "" {
		partner.note, partner.on = filepath.Base(c.Partner), true
		partner.about = "Enter takes it away"
		partner.do = func() {
			c.Partner = ""
			s.model.Choose(c)
		}
	}
	rows := []cardRow{partner}
	for i, path := range c.Opponents {
		rows = append(rows, cardRow{label: fmt.Sprintf("opponent %d", i+1), note: filepath.Base(path), on: true,
			about: "Enter takes it away", keeps: true, do: func() {
				c.Opponents = slices.Delete(c.Opponents, i, i+1)
				s.model.Choose(c)
			}})
	}
	return append(rows, cardRow{label: "add an opponent", about: tip, keeps: true, do: func() {
		s.disk.pick("Opponent", robotFiles, func(path string) {
			c.Opponents = append(c.Opponents, path)
			s.model.Choose(c)
		})
	}})
}

// ring goes through names, from the last to the first.
func ring(names []string, now string, choose func(string)) func(float64) {
	return func(way float64) {
		if n := len(names); n > 1 {
			by := int(math.Copysign(1, way))
			choose(names[(max(slices.Index(names, now), 0)+by+n)%n])
		}
	}
}

// stepped is a whole number some steps on, one at least.
func stepped(n uint64, way float64) uint64 {
	return uint64(max(int64(n)+int64(math.Copysign(math.Max(math.Round(math.Abs(way)), 1), way)), 0))
}

// typeWhole asks for a whole number, of which some is typed already.
func (s *studies) typeWhole(what, typed string, least uint64, take func(uint64)) {
	var c *card
	under := s.shared.card
	c = &card{name: "whole", title: what + ":", typed: true, filter: typed, foot: "Digits, then Enter.", under: under,
		rows: func() []cardRow {
			n, err := strconv.ParseUint(strings.TrimSpace(c.filter), 10, 63)
			if err != nil || n < least {
				return []cardRow{{label: fmt.Sprintf("type a whole number, %d or more: %s", least, c.filter)}}
			}
			return []cardRow{{label: what + " " + c.filter, do: func() { take(n) }}}
		}}
	s.show(c)
}

// countRow is how many there are to be: turned, or typed.
func (s *studies) countRow(label string, at *float64, list []float64) cardRow {
	n := choice{at, list}
	return cardRow{label: label, note: fmt.Sprintf("%g", *at), about: "digits, or a click on the number, type another",
		keeps: true, do: n.next, turn: n.turn, digit: func(typed string) {
			s.typeWhole(capital(label), typed, 1, func(n uint64) { *at = math.Min(float64(n), viewmodel.MostAsked) })
		}}
}

func (s *studies) trialRows() []cardRow {
	need := cardRow{label: "good from", note: "as planned", keeps: true, do: func() {},
		about: "points that make a rehearsal good; digits type them", turn: s.turnNeed, digit: s.typeNeed}
	if s.need != nil {
		need.note = units.Counted(*s.need, "point")
		need.about += "; Backspace: as planned"
		need.reset = func() { s.need = nil }
	}
	return []cardRow{{label: "Trials", head: true},
		s.countRow("how many", &s.trials, counts), need,
		{label: fmt.Sprintf("Run %g trials", s.trials), note: s.keysOf("trials"), keeps: true, do: s.beginTrials}}
}

// turnNeed changes how many points are good, from those of the run shown; under 0 those of the plan count again.
func (s *studies) turnNeed(way float64) {
	now := 0.0
	if run := s.model.Now; run != nil && len(run.Record.Sheet.Total) > 0 {
		now = run.Record.Sheet.Total[run.Record.Header.Robots[0].Side]
	}
	if s.need != nil {
		now = *s.need
	}
	if now += math.Copysign(math.Max(math.Round(math.Abs(way)), 1), way); now < 0 {
		s.need = nil
		return
	}
	s.need = &now
}

func (s *studies) typeNeed(typed string) {
	s.typeWhole("Good from", typed, 0, func(n uint64) {
		need := float64(n)
		s.need = &need
	})
}

func (s *studies) compareRows() []cardRow {
	rows := []cardRow{{label: "Compare with before", head: true}}
	list := s.model.Versions()
	if len(list) == 0 {
		return append(rows, cardRow{label: "Nothing has changed yet."})
	}
	s.before = min(s.before, len(list)-1)
	version := ring(list, list[s.before], func(name string) { s.before = slices.Index(list, name) })
	return append(rows, cardRow{label: "the routine", note: list[s.before], keeps: true, do: func() { version(1) },
		turn: version},
		s.countRow("pairs, each of one seed", &s.pairs, counts),
		cardRow{label: fmt.Sprintf("Compare %g pairs", s.pairs), note: s.keysOf("compare"), keeps: true,
			do: s.beginCompare})
}

func (s *studies) sweepRows() []cardRow {
	s.usualSweep()
	rows := []cardRow{{label: "Sweep a number", head: true},
		{label: "number", note: s.swept.words, keeps: true, do: s.chooseNumber}}
	if s.swept.axis == "" {
		return rows
	}
	end := func(label string, at *float64) cardRow {
		return cardRow{label: label, note: fmt.Sprintf("%g", *at), keeps: true, do: func() {},
			turn: func(way float64) { *at = rounded(*at + way*s.swept.step) }}
	}
	values := choice{&s.swept.values, gridSizes}
	return append(rows, end("from", &s.swept.from), end("to", &s.swept.to),
		cardRow{label: "values", note: fmt.Sprintf("%g", s.swept.values), keeps: true, do: values.next, turn: values.turn},
		s.countRow("rehearsals at each", &s.each, atEach),
		cardRow{label: fmt.Sprintf("Sweep %g values", s.swept.values), note: s.keysOf("sweep"), keeps: true,
			do: s.beginSweep})
}

// rounded leaves out digits that nobody turned.
func rounded(x float64) float64 {
	near, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 6, 64), 64)
	if err != nil {
		return x
	}
	return near + 0
}

func (s *studies) keysOf(name string) string { return s.action(name).keyWords() }

// usualSweep is that of the first value of the routine, until another is chosen.
func (s *studies) usualSweep() {
	known := func(axis string) bool {
		return axis != "" && slices.ContainsFunc(s.sweeps(), func(o swept) bool { return o.axis == axis })
	}
	if known(s.swept.axis) {
		return
	}
	if list := s.sweeps(); len(list) > 0 {
		s.swept = list[0]
	} else {
		s.swept = swept{words: "the routine has none"}
	}
}

// sweeps are the numbers that can be swept: the routine's values first.
func (s *studies) sweeps() []swept {
	var list []swept
	for _, p := range s.model.Values() {
		if p.Kind != scripting.Order { // of eight there are 40,320
			list = append(list, sweepOf(p))
		}
	}
	if s.model.Source().Module != "" { // a sweep's numbers are those of the routine's own file
		return list
	}
	for _, n := range s.numbers.all() {
		list = append(list, sweepOfNumber(n))
	}
	return list
}

func sweepOf(p scripting.Param) swept {
	return swept{axis: "param:" + p.Name, words: p.Name, from: p.Min, to: p.Max,
		step: rounded(stepOf(p)), values: valuesOf(p)}
}

// valuesOf is in how many steps a value is swept: all of a choice's.
func valuesOf(p scripting.Param) float64 {
	if p.Whole() {
		return p.Max - p.Min + 1
	}
	return 7
}

// sweepOfNumber goes a fifth of a number to either side, as far as its call takes that.
func sweepOfNumber(n textNumber) swept {
	const reach, steps = 0.2, 20
	value := n.Value()
	far := math.Max(reach*math.Abs(value), 0.1)
	axis := strings.Replace(n.name, "number ", "number:", 1)
	return swept{axis: axis, words: fmt.Sprintf("line %d: %s", n.Line, n.Text), line: n.Line,
		step: rounded(far / steps), values: 7,
		from: rounded(math.Max(value-far, n.Low)), to: rounded(math.Min(value+far, n.High))}
}

// chooseNumber lists the routine's values and numbers.
func (s *studies) chooseNumber() {
	list, lines := s.sweeps(), s.model.Source().Lines
	s.show(&card{name: "number", title: "Sweep which number?", typed: true,
		foot: "Letters narrow the list, Enter chooses, Esc closes.", rows: func() []cardRow {
			var rows []cardRow
			for _, one := range list {
				row := cardRow{label: one.words, on: one.axis == s.swept.axis, do: func() { s.swept = one }}
				if one.line > 0 && one.line <= len(lines) {
					row.note = strings.TrimSpace(lines[one.line-1])
				}
				rows = append(rows, row)
			}
			if len(rows) == 0 {
				return []cardRow{{label: "The routine has no number."}}
			}
			return rows
		}})
}

func (s *studies) beginTrials() {
	s.begin(viewmodel.Ask{Kind: results.Trials, Count: int(s.trials), Need: s.need})
}

func (s *studies) beginCompare() {
	s.begin(viewmodel.Ask{Kind: results.Compare, Count: int(s.pairs), Need: s.need, Before: s.before})
}

func (s *studies) beginSweep() {
	s.usualSweep()
	if s.swept.axis == "" {
		s.model.Say("The routine has no number that could be swept.")
		return
	}
	w := s.swept
	s.begin(viewmodel.Ask{Kind: results.Sweep, Count: int(s.each), Need: s.need,
		Axis: fmt.Sprintf("%s=%g..%g/%g", w.axis, w.from, w.to, w.values)})
}

// begin begins a study and shows the page that tells of it.
func (s *studies) begin(a viewmodel.Ask) {
	s.memory.Asks(viewmodel.Asked{Trials: s.trials, Pairs: s.pairs, Each: s.each})
	if s.model.Begin(a); s.model.StudyRuns() {
		if s.shared.beside != nil && s.shared.beside.name == "studies" { // the page needs its room
			s.closeBeside()
		}
		s.turnToPage()
	}
}

// has reports whether there is a study of which something is done.
func (s *studies) has() bool { return s.model.Study() != nil && s.model.Study().Seen.File != nil }

// showRehearsals lists the study's rehearsals, to be shown.
func (s *studies) showRehearsals() {
	if !s.has() {
		s.model.Say("No study yet: J begins one.")
		return
	}
	var rows []cardRow
	for _, r := range s.model.Study().Rehearsals() {
		rows = append(rows, cardRow{label: s.model.WithCallers(r.Words), do: func() { s.model.OpenTrial(r.Trial) }})
	}
	s.show(&card{name: "rehearsals", title: "Show a rehearsal, the worst first", typed: true,
		foot: "Letters narrow the list (seed 12), Enter shows it, Esc closes.", rows: func() []cardRow { return rows }})
}

func (s *studies) turnToPage() { s.notebook.turnTo(viewmodel.StudyTab) }

// besideFiles are what can be run beside, by the endings of their names.
var besideFiles = map[string]string{".lua": "routine", ".jsonl": "record"}

// showBeside chooses what is run beside, both robots at once.
func (s *studies) showBeside() {
	seed := s.model.Chosen().Seed + 1
	s.show(&card{name: "beside", title: "Beside this run",
		foot: "Enter chooses, Left, Right (" + strides + ") or digits another seed, Esc closes.",
		rows: func() []cardRow {
			lay := func(o *viewmodel.Other) func() { return func() { s.model.LayBeside(o) } }
			var rows []cardRow
			if before := s.model.Before; before != nil {
				rows = append(rows, cardRow{label: "The run before", note: "old and new",
					do: lay(&viewmodel.Other{Name: "the run before", Record: before.Record})})
			}
			rows = append(rows, cardRow{label: "Another seed", note: strconv.FormatUint(seed, 10),
				do:    func() { lay(&viewmodel.Other{Name: fmt.Sprintf("seed %d", seed), Seed: &seed})() },
				turn:  func(way float64) { seed = stepped(seed, way) },
				digit: func(typed string) { s.typeWhole("Seed", typed, 0, func(n uint64) { seed = n }) }},
				cardRow{label: "Another routine, or a record", note: "choose", keeps: true, do: func() {
					s.disk.pick("Beside this run", besideFiles, s.layFile)
				}})
			if name := s.model.LaysBeside(); name != "" {
				rows = append(rows, cardRow{label: "Nothing", note: "now: " + name, do: lay(nil)})
			}
			return rows
		}})
}

func (s *studies) layFile(path string) {
	s.model.LayFile(path)
	s.disk.watch.follow(s.model.Watch)
}

// point lets a path of the study be asked after and opened.
func (s *studies) point() {
	if s.hand.X != s.hand.lastX || s.hand.Y != s.hand.lastY || s.hand.Pressed {
		s.over = s.wayUnder()
	}
	if s.hand.Pressed {
		s.taken, s.pressed = s.over, s.pointer()
	}
	if s.hand.Released {
		moved := math.Hypot(s.hand.X-s.pressed.X, s.hand.Y-s.pressed.Y) >= leastScrub
		if ways := s.model.Ways(); s.taken >= 0 && s.taken < len(ways) && !moved {
			s.model.OpenTrial(ways[s.taken].Trial)
		}
		s.taken = -1
	}
}

// wayUnder is the path pointed at, where nothing that stands on the floor is.
func (s *studies) wayUnder() int {
	if !s.onField() || !s.aim.valid || s.model.Mode != viewmodel.Watch || !(s.view.Scale > 0) {
		return -1
	}
	switch s.aim.thing.Kind {
	case viewmodel.RobotThing, viewmodel.PieceThing, viewmodel.GoalThing:
		return -1
	}
	return s.model.WayAt(s.aim.at, reach/s.view.Scale)
}

// told is what the line at the bottom says of the path pointed at.
func (s *studies) told() string {
	ways := s.model.Ways()
	if s.over < 0 || s.over >= len(ways) {
		return ""
	}
	if ways[s.over].Plan {
		return "the plan: nothing is drawn"
	}
	return s.model.WithCallers(s.model.Study().TrialWords(ways[s.over].Trial)) + ". A click shows it."
}

// draw lights the path pointed at up.
func (s *studies) draw() {
	if ways := s.model.Ways(); s.over >= 0 && s.over < len(ways) {
		s.clip(s.frame.Field)
		s.pen.Stroke([][]geom.Vec{s.pixels(ways[s.over].Points)}, false, 3, s.accent)
		s.pen.Unclip()
	}
}

// ways are all of them, to be drawn.
func (s *studies) ways() (items []scene.Item) {
	for _, way := range s.model.Ways() {
		items = append(items, scene.Item{Kind: scene.Line, Points: way.Points, Pen: s.wayPen(way.Good, way.Plan)})
	}
	return items
}

// print is what that drawing depends on, beside the view.
func (s *studies) print(p print) print {
	ways := s.model.Ways()
	p = p.ints(len(ways))
	if len(ways) > 0 {
		p = p.ints(s.model.Study().Seen.File.Have())
	}
	return p
}

// wayPen tells good paths from others by their dashes as well as by colour.
func (s *shared) wayPen(good, plan bool) scene.Pen {
	switch {
	case plan:
		return scene.Pen{Width: 1.5, Colour: scene.Chalk}
	case good:
		return scene.Pen{Width: 1, Colour: s.pale}
	}
	return scene.Pen{Width: 1.5, Colour: s.accent, Dash: scene.Dashed}
}

func (v *fieldView) pixels(way []geom.Vec) []geom.Vec {
	line := make([]geom.Vec, len(way))
	for i, at := range way {
		line[i] = v.view.Pixel(at)
	}
	return line
}
