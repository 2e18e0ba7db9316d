package window

import (
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/fields"
	"chalkfield/render/window/viewmodel"
)

// turnable is a routine whose numbers a test turns.
const turnable = `return routine {
  start = {x = 600, y = 1000, heading = 0},
  auto = function(bot)
	bot.drive:ahead(300, {speed = 800}) -- 17 "19"
    wait(0.12)
  end,
}
`

func (h *hands) file() string {
	h.t.Helper()
	text, err := os.ReadFile("mine.lua")
	if err != nil {
		h.t.Fatal(err)
	}
	return string(text)
}

func (h *hands) wantFile(what, want string) {
	h.t.Helper()
	if got := h.file(); got != want {
		h.t.Errorf("%s, the file is\n%s\nit says %q", what, got, h.model.Notice.Text)
	}
}

// onto puts the pointer on what has a name.
func (h *hands) onto(name string) {
	h.t.Helper()
	x, y := middle(h.element(h.t, name).Rect)
	h.point(x, y)
}

// pull takes a number and drags it so many points, without letting go.
func (h *hands) pull(name string, points float64) {
	h.t.Helper()
	h.onto(name)
	h.push()
	h.x += points
	h.do(hand{Down: true})
}

func TestANumberIsDraggedInThePage(t *testing.T) {
	h := atFile(t, turnable)
	for name := range h.state().Buttons {
		if strings.HasPrefix(name, "number 4.") && name != "number 4.1" && name != "number 4.2" {
			t.Errorf("%s is in a remark", name)
		}
	}
	before := h.model.Now
	h.pull("number 4.1", 40)
	h.wantFile("while it is dragged", turnable)
	h.rest(t)
	if h.model.Now == before || h.model.Before != before || !h.field.wholeWay() || h.model.Outcome() == "" {
		t.Errorf("the new way does not lie over the old: %q", h.model.Outcome())
	}
	if words := h.numbers.outcome(); !strings.HasPrefix(words, "300 → 350: ochre 3, ends 0.74 s (+0.06)") {
		t.Errorf("it says %q", words)
	}
	h.draws(t, "a number in hand")
	h.letGo()
	want := strings.Replace(turnable, "ahead(300", "ahead(350", 1) // ten steps of 5: it is a large number
	h.wantFile("let go", want)
	h.rest(t)
	if h.model.Before != before {
		t.Error("once written it is compared with another run")
	}
	h.ctrl(ebiten.KeyZ)
	h.wantFile("undone", turnable)
	h.ctrl(ebiten.KeyY)
	h.wantFile("done again", want)

	h.rest(t)
	h.pull("number 4.2", -80)
	h.rest(t)
	h.key(ebiten.KeyEscape)
	h.letGo()
	h.wantFile("given up", want)
	if st := h.state(); h.numbers.held() || st.Undo != 1 {
		t.Errorf("still in hand, %d steps to undo", st.Undo)
	}
	h.onto("number 5.1")
	h.push()
	h.x -= 400
	h.do(hand{Down: true, Shift: true})
	h.letGo()
	h.wantFile("dragged far with Shift", strings.Replace(want, "wait(0.12)", "wait(0.00)", 1))
}

func TestANumberIsTypedOver(t *testing.T) {
	h := atFile(t, turnable)
	type press struct {
		r   rune
		key ebiten.Key
	}
	types := func(list ...press) {
		for _, p := range list {
			h.do(hand{Keys: []ebiten.Key{p.key}, Runes: []rune{p.r}})
			h.do(hand{})
		}
	}
	h.press("number 4.1")
	types(press{'2', ebiten.KeyDigit2}, press{'5', ebiten.KeyDigit5}, press{'0', ebiten.KeyDigit0})
	if h.wantFile("typed", turnable); h.state().Tab != string(viewmodel.RoutineTab) {
		t.Error("a digit turnable the page")
	}
	h.rest(t)
	h.key(ebiten.KeyEnter)
	want := strings.Replace(turnable, "ahead(300", "ahead(250", 1)
	h.wantFile("Enter", want)
	h.rest(t)

	h.press("number 4.2")
	types(press{'0', ebiten.KeyDigit0})
	h.key(ebiten.KeyEnter)
	if h.wantFile("no speed", want); !strings.Contains(h.model.Notice.Text, "Not written: 0 is too small here") {
		t.Errorf("it says %q", h.model.Notice.Text)
	}
	h.press("number 4.2")
	h.shift(ebiten.KeyArrowUp) // ten steps of 10
	h.key(ebiten.KeyArrowDown)
	h.do(hand{Keys: []ebiten.Key{ebiten.KeyArrowDown}, Alt: true}) // one of its last digit
	h.key(ebiten.KeyTab)
	want = strings.Replace(want, "speed = 800", "speed = 889", 1)
	if h.wantFile("arrows and Tab", want); !h.numbers.held() || h.numbers.first.Text != "0.12" {
		t.Errorf("Tab does not go on to the next: %q", h.numbers.first.Text)
	}
	h.key(ebiten.KeyBackspace)
	h.point(100, 300)
	h.push()
	h.letGo()
	h.wantFile("a click elsewhere", strings.Replace(want, "0.12", "0.1", 1))

	h.rest(t)
	h.key(ebiten.KeyI, ebiten.KeyArrowUp, ebiten.KeyEscape)
	if h.wantFile("by key, given up", strings.Replace(want, "0.12", "0.1", 1)); h.numbers.held() {
		t.Error("still in hand")
	}
}

func TestANumberIsWheeledAndThePageStillScrolls(t *testing.T) {
	h := atFile(t, turnable+strings.Repeat("-- more\n", 100))
	text := h.file()
	h.onto("number 4.1")
	h.do(hand{Ctrl: true, WheelY: 2})
	h.do(hand{Ctrl: true, WheelY: 0.5})
	h.do(hand{Ctrl: true, WheelY: 0.5, Shift: true})
	h.wantFile("wheeled with Ctrl", text)
	h.do(hand{})
	want := strings.Replace(text, "ahead(300", "ahead(360", 1)
	h.wantFile("Ctrl let go", want)
	h.rest(t)
	h.draws(t, "before scrolling")
	h.do(hand{WheelY: -1})
	if h.wantFile("wheeled without Ctrl", want); h.notebook.scroll[viewmodel.RoutineTab].at == 0 {
		t.Error("the page does not scroll")
	}
}

// A routine that comes with the program is kept as a copy, on the same field.
func TestABuiltInNumberIsKeptAsACopy(t *testing.T) {
	built := func(files viewmodel.Files) (viewmodel.Loaded, error) {
		loaded, err := loadFile(viewmodel.Files{Routine: "mine.lua"})
		if files.Routine == "" {
			loaded.Source.Path = ""
			return loaded, err
		}
		own, err := loadFile(files)
		own.Setup.Field, err = fields.OpenEmbedded(files.Field)
		return own, err
	}
	h := atFileBy(t, turnable, built)
	h.model.Exchange(viewmodel.Files{})
	h.rest(t)
	h.do(hand{})
	h.pull("number 4.1", 40)
	h.letGo()
	if h.state().Card != "copy" {
		t.Fatalf("no card: %q", h.state().Card)
	}
	h.key(ebiten.KeyEscape)
	if _, held := h.model.Held(); held {
		t.Error("Esc leaves it in hand")
	}
	h.rest(t)
	h.pull("number 4.1", 40)
	h.letGo()
	h.press(h.row("row Write "))
	h.rest(t)
	text, err := os.ReadFile("mine_1.lua")
	if err != nil || string(text) != strings.Replace(turnable, "ahead(300", "ahead(350", 1) {
		t.Errorf("%v: the copy is\n%s", err, text)
	}
	h.wantFile("written as a copy", turnable)
	if f := h.model.Files; !strings.HasSuffix(f.Routine, "mine_1.lua") || f.Field != "core_haul" || f.Robot != "hauler" {
		t.Errorf("open are %+v", f)
	}
}

// Hands that never press nor wheel a number change no file, whatever else they do; those that do change nothing but
// numbers.
func TestRandomHandsOnNumbersChangeNothingElse(t *testing.T) {
	h := atFile(t, turnable)
	random := rand.New(rand.NewPCG(3, 4))
	keys := []ebiten.Key{ebiten.KeyEscape, ebiten.KeyEnter, ebiten.KeyTab, ebiten.KeyArrowUp, ebiten.KeyBackspace,
		ebiten.KeyI, ebiten.KeySpace, ebiten.KeyT, ebiten.KeyDigit1, ebiten.KeyDigit2, ebiten.KeyZ, ebiten.KeyR, ebiten.KeyA,
		ebiten.KeyV}
	page, now := h.frame.Notebook, hand{}
	for i := range 3000 {
		now.Keys, now.Runes, now.WheelY, now.Pressed, now.Released = nil, nil, 0, false, false
		switch random.IntN(6) {
		case 0:
			now.Keys = []ebiten.Key{keys[random.IntN(len(keys))]}
			now.Runes = []rune{rune("0123456789.-ex "[random.IntN(15)])}
		case 1:
			h.x, h.y = page.X+random.Float64()*page.W, page.Y+random.Float64()*150
		case 2:
			now.Pressed, now.Down = !now.Down, true
		case 3:
			now.Released, now.Down = now.Down, false
		case 4:
			now.WheelY = float64(random.IntN(5) - 2)
		case 5:
			h.x += random.Float64()*100 - 50
		}
		now.Ctrl, now.Shift = random.IntN(8) == 0, random.IntN(4) == 0
		h.do(now)
		if i%50 == 0 {
			h.rest(t)
			if card := h.card; card != nil {
				h.closeCard()
			}
		}
	}
	if got, want := wordsOnly(h.file()), wordsOnly(turnable); got != want {
		t.Errorf("the file is\n%s", h.file())
	}
}

// wordsOnly is a text without what numbers are made of.
func wordsOnly(text string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune("0123456789.-exX", r) {
			return -1
		}
		return r
	}, text)
}
