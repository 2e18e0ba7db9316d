package window

import (
	"context"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/assets"
	"chalkfield/internal/app/lesson"
	"chalkfield/render/window/viewmodel"
)

// atLessons opens the window with two lessons: the one that `chalkfield new --lesson` writes, and one that comes after
// it. It begins with one of them, "" for the list.
func atLessons(t *testing.T, name string) *hands {
	t.Helper()
	t.Chdir(t.TempDir())
	t.Setenv("DISPLAY", "")
	h := &hands{t: t}
	h.copyLesson("class/first", nil)
	h.copyLesson("class/second", map[string]string{"Stop on the mark": "Once more", "after = []": `after = ["first"]`})
	h.game = h.learn(name)
	return h
}

// copyLesson writes the lesson of the template with other words in lesson.toml.
func (h *hands) copyLesson(to string, words map[string]string) {
	h.t.Helper()
	entries, err := fs.ReadDir(assets.Templates, "lesson")
	if err != nil {
		h.t.Fatal(err)
	}
	if err := os.MkdirAll(to, 0o700); err != nil {
		h.t.Fatal(err)
	}
	for _, e := range entries {
		data, err := fs.ReadFile(assets.Templates, "lesson/"+e.Name())
		if err != nil {
			h.t.Fatal(err)
		}
		text := string(data)
		if e.Name() == lesson.About {
			for old, new := range words {
				text = strings.Replace(text, old, new, 1)
			}
		}
		h.write(filepath.Join(to, e.Name()), text)
	}
}

// learn opens the window on the class, as it was left before.
func (h *hands) learn(name string) *game {
	h.t.Helper()
	lessons, err := lesson.Folder("class")
	if err != nil {
		h.t.Fatal(err)
	}
	progress, err := lesson.OpenProgress("lessons.json")
	if err != nil {
		h.t.Fatal(err)
	}
	g := newGame(context.Background(), Options{Out: io.Discard, Err: io.Discard, Load: loadFile, Lesson: name,
		Lessons: &viewmodel.School{Lessons: lessons, Desk: lesson.Desk{Folder: "mine"}, Progress: progress}},
		viewmodel.DefaultSettings(), "")
	h.t.Cleanup(g.close)
	g.density, g.width, g.height = 1, viewmodel.LeastWidth, viewmodel.LeastHeight
	g.dump.path = filepath.Join(h.t.TempDir(), "state.json")
	g.rest(h.t)
	return g
}

// judged waits until the run shown is judged.
func (h *hands) judged() *viewmodel.LessonPage {
	h.t.Helper()
	h.until("it is judged", func(*state) bool {
		p := h.model.Lesson()
		return p != nil && p.Judged && !p.Judging
	})
	return h.model.Lesson()
}

// answer writes the answer to the first lesson as an editor does, and waits for what it comes to.
func (h *hands) answer(text string) *viewmodel.LessonPage {
	h.t.Helper()
	runs := h.model.Runs
	h.write("mine/first/routine.lua", text)
	h.until("it is rehearsed", func(*state) bool { return h.model.Runs > runs })
	return h.judged()
}

// answering is an answer to the lesson that drives so.
func answering(call string) string {
	return "return routine {\n  start = {x = 600, y = 600, heading = 0},\n  auto = function(bot)\n    bot.drive:ahead(" +
		call + ")\n  end,\n}\n"
}

func TestTheListOfLessonsOpensOne(t *testing.T) {
	h := atLessons(t, "")
	st := h.do(hand{})
	if st.Card != "lessons" || len(h.card.list()) != 3 || h.card.list()[1].note != "next, 5 minutes" {
		t.Fatalf("card %q: %+v", st.Card, h.card)
	}
	h.key(ebiten.KeyEscape, ebiten.KeyR) // there is nothing to read again
	if h.do(hand{}); h.model.Now != nil || !strings.Contains(h.model.Notice.Text, "F6") {
		t.Errorf("without a lesson it says %q", h.model.Notice.Text)
	}
	h.key(ebiten.KeyF6)
	h.types("once")
	h.key(ebiten.KeyEnter)
	h.judged()
	if got := h.model.Lesson().Title; got != "Once more" {
		t.Errorf("opened %q", got)
	}
	h.press("all lessons")
	h.press("row 1  Stop on the mark")
	h.judged()
	if got := h.do(hand{}); got.Routine != filepath.Join("mine", "first", "routine.lua") || got.Parts["lesson"].H < 200 {
		t.Errorf("shows %s, the lesson in %+v", got.Routine, got.Parts["lesson"])
	}
}

func TestALessonTicksItsStepsAndMarks(t *testing.T) {
	h := atLessons(t, "first")
	if p := h.judged(); p.Passed || p.Current() != 1 || p.Marks[1].Held || p.Marks[1].Happened == "" {
		t.Errorf("at the start: %+v", p)
	}
	p := h.answer(answering("600"))
	if !p.Passed || p.Current() != 2 || p.Reached != 2 {
		t.Errorf("the solution: %+v", p)
	}
	p = h.answer(answering("600, {speed = 250}"))
	if !p.Passed || p.Reached != 1 {
		t.Errorf("without the star: passed %v, %d stars", p.Passed, p.Reached)
	}
	p = h.answer(answering("500"))
	if p.Passed || p.Current() != 2 { // what was reached once stays ticked
		t.Errorf("worse again: passed %v, step %d", p.Passed, p.Current())
	}
	h.key(ebiten.KeyF6)
	if rows := h.card.list(); rows[1].note != "done, 2 of 2 stars" || rows[2].note != "next, 5 minutes" || !rows[1].on {
		t.Errorf("the list says %+v", rows)
	}
	h.key(ebiten.KeyEscape)
	h.press("next lesson")
	if h.judged(); h.model.Lesson().Title != "Once more" {
		t.Errorf("next is %q", h.model.Lesson().Title)
	}
	h.game = h.learn("first") // the window is opened again
	if p := h.judged(); p.Passed || p.Current() != 2 {
		t.Errorf("opened again: passed %v, step %d", p.Passed, p.Current())
	}
}

// A step is ticked by a run that came after it was opened, not by one that happens to do it before.
func TestAStepIsTickedOnceItIsOpened(t *testing.T) {
	h := atLessons(t, "first")
	h.judged()
	p := h.answer(answering("600, {speed = 100}")) // on the mark, and late
	if p.Passed || p.Current() != 1 {
		t.Fatalf("before it was opened: passed %v, step %d", p.Passed, p.Current())
	}
	h.lessons.view.turnPage(10)
	h.lessons.view.scrollTo(func(row *lessonRow) bool { return row.step == 2 })
	h.do(hand{})
	h.press("step 2")
	if p.Current() != 1 {
		t.Error("opening it ticked it")
	}
	if p = h.answer(answering("601, {speed = 100}")); p.Current() != 2 || h.lessons.view.at != 1 {
		t.Errorf("then: step %d, %d is open", p.Current(), h.lessons.view.at)
	}
}

// A number that is turned is judged as it turns, but nothing is reached by what is not written.
func TestATurnedNumberIsJudgedAndKeptWhenWritten(t *testing.T) {
	h := atLessons(t, "first")
	h.judged()
	h.answer(answering("500"))
	h.press("number 4.1")
	for _, letter := range "600" {
		h.do(hand{Keys: []ebiten.Key{ebiten.KeyDigit0 + ebiten.Key(letter-'0')}, Runes: []rune{letter}})
		h.do(hand{})
	}
	p := h.model.Lesson()
	h.until("all marks hold", func(*state) bool { return p.Judged && !p.Judging && p.Marks[1].Held })
	if p.Passed {
		t.Error("passed by what is not written")
	}
	h.key(ebiten.KeyEnter)
	h.until("it is passed", func(*state) bool { return p.Passed })
}

func TestHintsOpenAfterTries(t *testing.T) {
	h := atLessons(t, "first")
	p := h.judged()
	h.press("hint")
	if p.Opened != 0 || p.ToGo != 1 || !strings.Contains(h.model.Notice.Text, "1 more") {
		t.Errorf("before a try: %d hints open, %d to go, it says %q", p.Opened, p.ToGo, h.model.Notice.Text)
	}
	h.answer(answering("500"))
	h.ctrl(ebiten.KeyH)
	if p = h.model.Lesson(); p.Opened != 1 || p.ToGo != 1 {
		t.Errorf("after one try: %d hints open, %d to go", p.Opened, p.ToGo)
	}
	h.answer(answering("510"))
	h.press("hint")
	if p.Opened != 2 || h.lessons.view.hintWords(p) != "No more hints" {
		t.Errorf("after two tries: %d hints open, the button says %q", p.Opened, h.lessons.view.hintWords(p))
	}
}

func TestALessonBeginsAnew(t *testing.T) {
	h := atLessons(t, "first")
	h.judged()
	h.answer(answering("600"))
	h.press("reset lesson")
	h.key(ebiten.KeyEnter) // the first row changes nothing
	if !h.model.Lesson().Passed {
		t.Error("it was reset without being asked")
	}
	h.press("reset lesson")
	h.key(ebiten.KeyArrowDown, ebiten.KeyEnter)
	p := h.judged()
	if p.Passed || p.Current() != 1 {
		t.Errorf("reset: passed %v, step %d", p.Passed, p.Current())
	}
	kept, err := os.ReadFile("mine/first/routine.before.lua")
	if err != nil || string(kept) != answering("600") {
		t.Errorf("kept %q, %v", kept, err)
	}
}

// Steps are opened one at a time, by a click or from the one before.
func TestStepsAreOpenedOneAtATime(t *testing.T) {
	h := atLessons(t, "first")
	h.judged()
	view := h.lessons.view
	view.turnPage(-10)
	h.do(hand{})
	h.press("step 1")
	if view.at != -1 {
		t.Errorf("step %d is open, none should be", view.at+1)
	}
	h.press("step 2")
	if view.at != 1 {
		t.Errorf("step %d is open", view.at+1)
	}
	h.press("fold lesson")
	if high := h.do(hand{}).Parts["lesson"].H; high != tabHeight {
		t.Errorf("folded it is %g high", high)
	}
	h.ctrl(ebiten.KeyD)
	if high := h.do(hand{}).Parts["lesson"].H; high < 200 {
		t.Errorf("unfolded it is %g high", high)
	}
}

// Every text of the panel is in the file of words.
func TestTheWordsOfThePanelAreThere(t *testing.T) {
	data, err := fs.ReadFile(assets.Lessons, "words.toml")
	if err != nil {
		t.Fatal(err)
	}
	words := string(data)
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, part := range strings.Split(string(text), ".say(\"")[1:] {
			key, rest, _ := strings.Cut(part, `"`)
			if strings.HasPrefix(rest, "+") { // of a list of its own
				continue
			}
			if !strings.Contains(words, "\n"+key+" = ") {
				t.Errorf("%s: words.toml has no %q", file, key)
			}
		}
	}
}
