package window

import (
	"slices"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/app/report"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/geom"
	"chalkfield/render/window/viewmodel"
)

// takesACore drives to a core and takes it in: some rehearsals do not get it.
const takesACore = `return routine { start = {x = 600, y = 450, heading = 90}, auto = function(bot)
  local far = param("far", 500, 100, 900)
  bot.intake:run(10)
  bot.drive:ahead(far, {timeout = 2})
  bot.drive:face(0)
end }
`

// studied waits for the end of the study.
func (h *hands) studied() *viewmodel.Study {
	h.t.Helper()
	h.until("the study is done", func(*state) bool { return h.model.Study() != nil && h.model.Study().Ended })
	h.do(hand{})
	return h.model.Study()
}

// choose goes to a row of the list by the arrow keys, and presses a key there.
func (h *hands) choose(begins string, keys ...ebiten.Key) {
	h.t.Helper()
	c := h.front()
	if c == nil {
		h.t.Fatalf("no list is open for %q", begins)
	}
	h.key(ebiten.KeyHome)
	for range c.list() {
		if strings.HasPrefix(c.list()[c.cursor].label, begins) {
			h.key(keys...)
			return
		}
		h.key(ebiten.KeyArrowDown)
	}
	h.t.Fatalf("no row begins with %q", begins)
}

func TestTrialsAreRunAndOpenedByHand(t *testing.T) {
	h := atFile(t, takesACore)
	h.key(ebiten.KeyJ)
	h.choose("how many", ebiten.KeyArrowLeft, ebiten.KeyArrowLeft, ebiten.KeyArrowLeft)
	h.choose("good from", ebiten.KeyArrowRight, ebiten.KeyArrowRight)
	if h.choose("good from", ebiten.KeyBackspace); h.studies.need != nil {
		t.Error("Backspace leaves points that somebody chose")
	}
	h.choose("good from", ebiten.KeyArrowRight, ebiten.KeyArrowRight)
	h.choose("Run 20 trials", ebiten.KeyEnter)
	study := h.studied()
	if study.Kind != results.Trials || study.Seen.File.Have() != 20 ||
		!strings.HasPrefix(h.model.Notice.Text, "20 rehearsals: ") {
		t.Fatalf("%d done, notice %q", study.Seen.File.Have(), h.model.Notice.Text)
	}
	if h.model.Tab != viewmodel.StudyTab || len(h.model.Ways()) != 21 {
		t.Errorf("page %s, %d ways", h.model.Tab, len(h.model.Ways()))
	}
	h.draws(t, "trials")
	h.press(h.row("trial "))
	runs := h.state().Runs
	h.until("the seed's run", func(st *state) bool { return st.Runs >= runs && !st.Busy })
	own := h.model.Now.Record.Sheet.Total[0]
	for _, r := range study.Seen.File.Results {
		if r.Seed == h.model.Chosen().Seed && r.Total[0] != own {
			t.Errorf("seed %d has %g points in the study and %g in the window", r.Seed, r.Total[0], own)
		}
	}
}

// A path is pointed at, told of, and opened by a click; a drag of the floor opens none.
func TestAPathOfTheFieldOpensItsSeed(t *testing.T) {
	h := atFile(t, takesACore)
	h.studies.trials = 20
	h.ctrl(ebiten.KeyT)
	h.studied()
	ways := h.model.Ways()
	i := slices.IndexFunc(ways, func(w viewmodel.Way) bool { return !w.Plan && w.Seed != 1 })
	at := h.field.view.Pixel(middleOf(ways[i].Points))
	h.point(at.X, at.Y)
	if told := h.studies.told(); !strings.Contains(told, "seed ") || !strings.Contains(told, "A click shows it") {
		t.Fatalf("of the path it says %q", told)
	}
	h.drag(at.X, at.Y, at.X+40, at.Y)
	if !h.model.Chosen().Nominal {
		t.Fatal("a drag of the floor chose a seed")
	}
	h.field.showAll()
	h.point(at.X, at.Y)
	over := h.model.Ways()[h.studies.over]
	h.push()
	h.letGo()
	h.until("its run", func(st *state) bool { return !st.Busy })
	if c := h.model.Chosen(); c.Seed != over.Seed || c.Nominal || h.model.Now.Record.Header.Seed != over.Seed {
		t.Errorf("%+v was clicked, chosen is %+v, and the run has seed %d", over.Trial, c, h.model.Now.Record.Header.Seed)
	}
	h.key(ebiten.KeyJ)
	h.choose("paths on the field", ebiten.KeySpace)
	if len(h.model.Ways()) != 0 {
		t.Error("the paths are still there")
	}
	h.choose("Put it away", ebiten.KeyEnter)
	if h.model.Study() != nil {
		t.Error("the study is still there")
	}
}

func middleOf(way []geom.Vec) geom.Vec {
	k := len(way) / 2
	return geom.Vec{X: (way[k-1].X + way[k].X) / 2, Y: (way[k-1].Y + way[k].Y) / 2}
}

// What is chosen in the list is what is rehearsed.
func TestSeedSideAndSessionAreChosenInTheWindow(t *testing.T) {
	h := atFile(t, takesACore)
	h.key(ebiten.KeyJ)
	done := func() { h.until("it is rehearsed", func(st *state) bool { return !st.Busy }) }
	h.choose("seed", ebiten.KeyArrowRight, ebiten.KeyArrowRight)
	done()
	if seed := h.model.Now.Record.Header.Seed; seed != 3 {
		t.Errorf("two steps on from seed 1: %d", seed)
	}
	h.choose("type a seed", ebiten.KeyEnter)
	h.do(hand{Runes: []rune("42")})
	h.key(ebiten.KeyEnter)
	done()
	if seed := h.model.Now.Record.Header.Seed; seed != 42 {
		t.Errorf("42 was typed: %d", seed)
	}
	session := h.model.Session()
	h.choose("session", ebiten.KeyArrowRight)
	if h.model.Files.Session == session || h.model.Files.Session == "" {
		t.Errorf("the session is still %q", session)
	}
	h.choose("nominal", ebiten.KeyEnter)
	done()
	if !h.model.Now.Record.Header.Nominal {
		t.Error("something is drawn")
	}
	h.draws(t, "the list of studies")
}

// Files are compared with how they were when they were opened; without a change there is nothing to compare.
func TestTheRoutineIsComparedWithHowItWasOpened(t *testing.T) {
	h := atFile(t, takesACore)
	h.studies.pairs = 20
	h.ctrl(ebiten.KeyB)
	if h.model.Study() != nil || !strings.Contains(h.model.Notice.Text, "nothing has changed") {
		t.Fatalf("of no change it says %q", h.model.Notice.Text)
	}
	h.write("mine.lua", strings.Replace(takesACore, "500, 100", "300, 100", 1))
	h.until("it is read again", func(st *state) bool { return len(h.model.Versions()) == 1 && !st.Busy })
	h.ctrl(ebiten.KeyB)
	study := h.studied()
	if v := study.Seen.File.Header.Variants; len(v) != 2 || v[0].Name != "mine.lua, as it was opened" ||
		v[1].Name != "mine.lua, now" || v[0].Params[0].Value != 500 || v[1].Params[0].Value != 300 {
		t.Fatalf("compared: %+v", v)
	}
	if len(h.model.Ways()) != 42 {
		t.Errorf("%d paths", len(h.model.Ways()))
	}
	h.draws(t, "a comparison")
	h.model.OpenTrial(report.Trial{Point: 1, Seed: 7})
	h.until("both runs", func(st *state) bool { return !st.Busy && h.model.Now.Other != nil })
	if now, old := h.model.Now, h.model.Now.Other; now.Record.Header.Seed != 7 || old.Record.Header.Seed != 7 ||
		old.Record.Header.Params[0].Value != 500 || now.Record.Header.Params[0].Value != 300 {
		t.Errorf("beside seed %d lies %q", now.Record.Header.Seed, old.Name)
	}
}

// A value and a number of the text are swept; a row of the page lays its run beside that of now.
func TestANumberIsSweptByHand(t *testing.T) {
	h := atFile(t, takesACore)
	h.studies.each, h.studies.swept.values = 5, 0
	h.key(ebiten.KeyJ)
	h.choose("values", ebiten.KeyArrowLeft, ebiten.KeyArrowLeft, ebiten.KeyArrowLeft, ebiten.KeyArrowLeft)
	h.choose("to", ebiten.KeyArrowLeft)
	h.ctrl(ebiten.KeyJ)
	study := h.studied()
	if a := study.Seen.File.Header.Axes[0]; a.Name != "param:far" || !slices.Equal(a.Values, []float64{100, 480, 860}) {
		t.Fatalf("swept: %+v", a)
	}
	h.draws(t, "a sweep")
	h.model.OpenTrial(report.Trial{Point: 2, Seed: 1})
	h.until("both runs", func(st *state) bool { return !st.Busy && h.model.Now.Other != nil })
	if old := h.model.Now.Other; old.Record.Header.Params[0].Value != 860 || !old.Record.Header.Nominal {
		t.Errorf("beside lies %q", old.Name)
	}
	h.key(ebiten.KeyJ)
	h.choose("number", ebiten.KeyEnter)
	h.do(hand{Runes: []rune("4:")})
	h.key(ebiten.KeyEnter)
	if h.studies.swept.axis != "number:4.1" || h.studies.swept.from != 1.6 || h.studies.swept.to != 2.4 {
		t.Errorf("chosen: %+v", h.studies.swept)
	}
}

// The window stays live while a study is under way, which Esc gives up; what is done stays.
func TestAStudyIsGivenUp(t *testing.T) {
	h := atFile(t, takesACore)
	h.studies.trials = 5000
	h.ctrl(ebiten.KeyT)
	h.until("some are done", func(*state) bool { have, due := h.model.Study().Progress(); return have > 0 && due == 5000 })
	h.key(ebiten.KeySpace)
	if !h.model.Playing || !h.model.StudyRuns() {
		t.Errorf("playing %v, the study runs %v", h.model.Playing, h.model.StudyRuns())
	}
	h.key(ebiten.KeyEscape)
	study := h.studied()
	if have := study.Seen.File.Have(); have == 0 || have == 5000 ||
		!strings.HasPrefix(h.model.Notice.Text, "Given up after") {
		t.Errorf("%d are done, it says %q", have, h.model.Notice.Text)
	}
	h.draws(t, "a study that was given up")
}

// A routine that cannot be tried says why, and a partner that is no file leaves all as it is.
func TestWhatCannotBeIsToldInOneLine(t *testing.T) {
	h := atFile(t, takesACore)
	for _, c := range []struct {
		ask  viewmodel.Ask
		want string
	}{
		{viewmodel.Ask{Kind: results.Sweep, Count: 3, Axis: "number:5=0..1/2"}, ""},
		{viewmodel.Ask{Kind: results.Sweep, Count: 3, Axis: "number:7=5..6/2"}, "line 7 has no number"},
		{viewmodel.Ask{Kind: results.Sweep, Count: 3, Axis: "param:far=5..6/2"}, "outside the limits"},
		{viewmodel.Ask{Kind: results.Sweep, Count: 3, Axis: "param:far=5..5/2"}, "twice"},
		{viewmodel.Ask{Kind: results.Trials, Count: 0}, "give -n 1 or more"},
	} {
		if h.model.Begin(c.ask); h.model.StudyRuns() {
			h.studied()
		}
		if bad := c.want != ""; h.model.Notice.Bad != bad || !strings.Contains(h.model.Notice.Text, c.want) {
			t.Errorf("%+v: %+v", c.ask, h.model.Notice)
		}
	}
}

// Of a study each rehearsal is found by its seed and shown, and what is chosen in the list is typed, by keys alone.
func TestTheListOfStudiesIsUsedByKeys(t *testing.T) {
	h := atFile(t, takesACore)
	typed := func(row, digits string) {
		h.choose(row)
		for _, r := range digits {
			h.do(hand{Runes: []rune{r}, Keys: []ebiten.Key{ebiten.KeyDigit0 + ebiten.Key(r-'0')}})
		}
		h.key(ebiten.KeyEnter)
	}
	h.key(ebiten.KeyJ)
	if typed("how many", "25"); h.studies.trials != 25 {
		t.Fatalf("25 was typed: %g", h.studies.trials)
	}
	r := h.element(t, "number of how many").Rect
	h.drag(r.X+4, r.Y+9, r.X+4+turnPoints, r.Y+9)
	if turned := h.studies.trials; h.front().name != "studies" || turned != 50 {
		t.Fatalf("a drag makes it %g, and %s is in front", turned, h.front().name)
	}
	r = h.element(t, "number of how many").Rect
	h.point(r.X+4, r.Y+9)
	h.push()
	if h.letGo(); h.front().name != "whole" {
		t.Fatalf("after a click on the number %s is in front", h.front().name)
	}
	h.types("25")
	if h.key(ebiten.KeyEnter); h.studies.trials != 25 {
		t.Fatalf("25 was typed after a click: %g", h.studies.trials)
	}
	if h.choose("good from"); h.front().name != "studies" {
		t.Fatalf("%s is in front", h.front().name)
	}
	typed("good from", "3")
	h.shift(ebiten.KeyArrowRight)
	if h.draws(t, "points that are good"); h.studies.need == nil || *h.studies.need != 13 {
		t.Errorf("3 and ten more are %v", h.studies.need)
	}
	if _, there := h.state().Buttons["write good from"]; there {
		t.Error("it offers to write what is in no file")
	}
	h.key(ebiten.KeyBackspace)
	h.ctrl(ebiten.KeyT)
	if begun := h.model.Notice.Text; !strings.HasPrefix(begun, "25 rehearsals under way: Esc gives them up") {
		t.Errorf("it begins with %q", begun)
	}
	study := h.studied()
	if again := newStudies(h.field.fieldView, h.disk, h.notebook, h.numbers); again.trials != 25 {
		t.Errorf("another time it is %g", again.trials)
	}
	list := study.Rehearsals()
	least := slices.MinFunc(study.Seen.File.Results, func(a, b *results.Result) int { return int(a.Own(0) - b.Own(0)) })
	if worst := study.Seen.File.Results[list[0].Seed-1]; len(list) != 25 || worst.Own(0) != least.Own(0) {
		t.Errorf("of %d the first is %q", len(list), list[0].Words)
	}
	h.ctrl(ebiten.KeyR)
	h.draws(t, "the rehearsals")
	for _, r := range "seed 12:" {
		h.do(hand{Runes: []rune{r}})
	}
	h.key(ebiten.KeyEnter)
	h.until("its run", func(st *state) bool { return !st.Busy })
	if seed := h.model.Now.Record.Header.Seed; seed != 12 || h.model.Chosen().Nominal {
		t.Errorf("seed 12 was chosen, and %d shows", seed)
	}
	h.do(hand{Keys: []ebiten.Key{ebiten.KeyJ}, Shift: true})
	typed("Another seed", "40")
	h.choose("Another seed", ebiten.KeyEnter)
	h.until("both", func(st *state) bool { return !st.Busy && h.model.Now.Other != nil })
	if seed := h.model.Now.Other.Record.Header.Seed; seed != 40 {
		t.Errorf("40 was typed, and %d lies beside", seed)
	}
}
