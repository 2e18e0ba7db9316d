package window

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/window/viewmodel"
)

// A line is edited in its place: what cannot be read is told of at once and not written.
func TestALineIsEditedInItsPlace(t *testing.T) {
	h := atFile(t, turnable)
	x, y := middle(h.element(t, "number 5.1").Rect)
	h.point(x-60, y)
	for range 2 {
		h.push()
		h.letGo()
	}
	if !h.line.open || string(h.line.text) != "    wait(0.12)" {
		t.Fatalf("a double click opens %q", string(h.line.text))
	}
	h.key(ebiten.KeyBackspace)
	h.rest(t)
	h.draws(t, "a line that cannot be read")
	if words := h.line.says(); h.model.Refused() == nil || strings.Contains(words, "mine.lua:") {
		t.Errorf("while letters come it says %q", words)
	}
	h.do(hand{})
	h.line.rests = faultAfter
	if words := h.line.says(); !strings.Contains(words, "mine.lua:6") {
		t.Errorf("it says %q", words)
	}
	h.key(ebiten.KeyEnter)
	if h.wantFile("what cannot be read", turnable); !h.line.open {
		t.Error("the line is closed")
	}
	for _, r := range ") bot" {
		h.do(hand{Runes: []rune{r}})
	}
	for range 4 {
		h.key(ebiten.KeyBackspace)
	}
	h.key(ebiten.KeyHome, ebiten.KeyDelete)
	h.rest(t)
	h.key(ebiten.KeyEnter)
	want := strings.Replace(turnable, "    wait(0.12)", "   wait(0.12)", 1)
	h.wantFile("Enter", want)
	h.rest(t)
	h.ctrl(ebiten.KeyZ)
	h.wantFile("undone", turnable)
	h.rest(t)
	h.point(10, 10)
	h.key(ebiten.KeyU, ebiten.KeyBackspace, ebiten.KeyEscape)
	if h.wantFile("given up", turnable); h.line.open {
		t.Error("Esc leaves the line open")
	}
}

// What may be meant is offered while a line is written: arrows choose, Tab, Enter or a click takes it, Esc closes it.
func TestALineIsCompletedFromTheReference(t *testing.T) {
	h := atFile(t, turnable)
	types := func(text string) {
		for _, r := range text {
			h.do(hand{Runes: []rune{r}})
		}
	}
	names := func() string {
		var list []string
		for _, k := range h.line.offers {
			list = append(list, k.Name)
		}
		return strings.Join(list, " ")
	}
	h.line.begin(5)
	h.key(ebiten.KeyHome)
	types("bot.dr")
	h.draws(t, "an offer")
	h.key(ebiten.KeyTab)
	if got := string(h.line.text[:h.line.caret]); got != "bot.drive:" || !strings.HasPrefix(names(), "ahead face visit") {
		t.Fatalf("Tab gives %q, then %q is offered", got, names())
	}
	h.draws(t, "what a drive can do")
	h.key(ebiten.KeyArrowDown, ebiten.KeyArrowDown, ebiten.KeyEnter)
	if got := string(h.line.text[:h.line.caret]); got != "bot.drive:visit(" || !h.line.open || names() != "" {
		t.Fatalf("Enter gives %q, then %q is offered", got, names())
	}
	if says := h.line.says(); !strings.HasPrefix(says, "bot.drive:visit(x, y, options): drives to a point") {
		t.Errorf("in its brackets it says %q", says)
	}
	h.draws(t, "in its brackets")
	types("900, 900) wai")
	h.press("offer wait")
	types("1) no")
	h.key(ebiten.KeyEscape)
	if !h.line.open || names() != "" {
		t.Fatalf("Esc closes the line, or leaves %q", names())
	}
	h.key(ebiten.KeyBackspace, ebiten.KeyBackspace, ebiten.KeyEnter)
	h.wantFile("Enter", strings.Replace(turnable, "    wait(0.12)", "bot.drive:visit(900, 900) wait(1)     wait(0.12)", 1))
}

func TestTheCommandOfAnEditor(t *testing.T) {
	for _, c := range []struct {
		command string
		want    []string
	}{
		{"mine -w", []string{"mine", "-w", "+7", "/a b.lua"}},
		{"mine --at {file}:{line}", []string{"mine", "--at", "/a b.lua:7"}},
		{"mine -l {line} {file}", []string{"mine", "-l", "7", "/a b.lua"}},
		{"", nil},
	} {
		got, err := editorCommand(c.command, "/a b.lua", 7)
		if !slices.Equal(got, c.want) || (err == nil) != (c.want != nil) {
			t.Errorf("%q: %q, %v", c.command, got, err)
		}
	}
}

// The person's own editor is started at the line that runs.
func TestTheEditorIsOpenedAtALine(t *testing.T) {
	h := atFile(t, turnable)
	if err := os.WriteFile("mine.sh", []byte("#!/bin/sh\necho \"$@\" > told\n"), 0o755); err != nil {
		t.Fatal(err)
	}
	t.Setenv("VISUAL", "./mine.sh {line}")
	t.Setenv("EDITOR", "")
	h.memory.Editor = "./mine.sh {line} {file}"
	h.disk.openEditor(5)
	var told []byte
	h.until("the editor ran", func(*state) bool {
		told, _ = os.ReadFile("told")
		return strings.HasSuffix(string(told), "mine.lua\n")
	})
	if !strings.HasPrefix(string(told), "5 ") {
		t.Errorf("it was told %q", told)
	}
	h.memory.Editor = "false"
	if h.disk.openEditor(5); !h.model.Notice.Bad {
		t.Errorf("of one that fails it says %q", h.model.Notice.Text)
	}
}

// Lines are written by keys alone: Ctrl+Enter opens one under the line that runs, and the next under that.
func TestLinesAreAddedByKeys(t *testing.T) {
	h := atFile(t, turnable)
	h.ctrl(ebiten.KeyF)
	h.types("ahead")
	h.key(ebiten.KeyEnter)
	h.ctrl(ebiten.KeyEnter)
	for _, r := range "wait(1)" {
		h.do(hand{Runes: []rune{r}})
	}
	h.wantFile("while it is written", turnable)
	h.ctrl(ebiten.KeyEnter)
	indent := "\n\t"
	first := strings.Replace(turnable, "\n    wait(0.12)", indent+"wait(1)\n    wait(0.12)", 1)
	h.wantFile("Ctrl+Enter", first)
	for _, r := range "bot.drive:face(90)" {
		h.do(hand{Runes: []rune{r}})
	}
	h.key(ebiten.KeyEnter)
	second := strings.Replace(first, "wait(1)", "wait(1)"+indent+"bot.drive:face(90)", 1)
	h.wantFile("Enter", second)
	h.rest(t)
	h.ctrl(ebiten.KeyEnter)
	if h.ctrl(ebiten.KeyEnter); !h.line.open {
		t.Error("a new line that is empty is closed, and what is typed next would be keys")
	}
	h.key(ebiten.KeyEscape)
	at := h.model.AddedLine()
	h.ctrl(ebiten.KeyL)
	h.types("half")
	h.key(ebiten.KeyEnter)
	h.rest(t)
	if h.line.meant() != at+1 || h.model.AddedLine() != at+1 {
		t.Errorf("after line %d Ctrl+L adds %d, and Ctrl+Enter goes on under %d", at, h.model.AddedLine(), h.line.meant())
	}
	h.ctrl(ebiten.KeyZ)
	h.rest(t)
	if h.wantFile("a line left empty", second); h.line.open {
		t.Error("it goes on under a line that is empty")
	}
	h.ctrl(ebiten.KeyZ)
	h.wantFile("undone", first)
}

// Calls for places are added by keys: typed, or of the thing chosen with Tab; letters find them among all actions.
func TestCallsAreAddedByKeys(t *testing.T) {
	h := atFile(t, turnable)
	h.point(0, 0)
	h.ctrl(ebiten.KeyL)
	for _, r := range "back 1200 6" {
		h.do(hand{Runes: []rune{r}})
	}
	h.draws(t, "a place half typed")
	for _, r := range "00" {
		h.do(hand{Runes: []rune{r}})
	}
	h.key(ebiten.KeyEnter)
	call := "\tbot.drive:visit(1200, 600, {reverse = true})\n"
	h.wantFile("a place typed", strings.Replace(turnable, "    wait(0.12)", call+"    wait(0.12)", 1))
	h.rest(t)
	h.ctrl(ebiten.KeyK)
	h.types("add")
	if h.row("row drive there: put"); h.row("row write a new line") == "" {
		t.Error("add finds no way to add")
	}
	h.key(ebiten.KeyEscape, ebiten.KeyTab, ebiten.KeyTab, ebiten.KeyTab)
	h.ctrl(ebiten.KeyL)
	h.types("curve")
	thing, is := h.model.Now.PoseOf(h.model.Selected, h.model.Time)
	h.key(ebiten.KeyEnter)
	if call = "bot.drive:trace({" + viewmodel.LuaPoint(thing.At()) + "})"; !is || !strings.Contains(h.file(), call) {
		t.Errorf("%s is not in\n%s", call, h.file())
	}
}

// The wheel shows other rows of a list, and turns the number that was pressed last alone.
func TestTheWheelScrollsLists(t *testing.T) {
	h := atFile(t, turnable)
	h.key(ebiten.KeyJ)
	h.onto("row seed")
	for range 3 {
		h.do(hand{WheelY: -1})
	}
	if seed := h.model.Chosen().Seed; seed != 1 || h.front().top == 0 {
		t.Errorf("the seed is %d, the first row %d", seed, h.front().top)
	}
	for range 3 {
		h.do(hand{WheelY: 1})
	}
	h.press("row seed")
	h.do(hand{WheelY: 1})
	if seed := h.model.Chosen().Seed; seed != 2 || h.front().top != 0 {
		t.Errorf("pressed, the seed is %d, the first row %d", seed, h.front().top)
	}
	h.do(hand{Runes: []rune{'7'}, Keys: []ebiten.Key{ebiten.KeyDigit7}})
	h.key(ebiten.KeyEnter)
	if seed := h.model.Chosen().Seed; seed != 7 {
		t.Errorf("typed, the seed is %d", seed)
	}
}

// A line is chosen by keys, edited with what is selected and taken back, left for the next, and taken out.
func TestALineIsEditedByKeysAlone(t *testing.T) {
	h := atFile(t, turnable)
	h.ctrl(ebiten.KeyF)
	h.types("ahead")
	h.key(ebiten.KeyEnter)
	h.shift(ebiten.KeyArrowDown)
	at := h.model.Line()
	if h.model.Source().Lines[at-1] != "    wait(0.12)" {
		t.Fatalf("Shift+Down chooses line %d", at)
	}
	if want := fmt.Sprintf("after line %d: wait(0.12)", at); h.addsWhere() != want {
		t.Errorf("Ctrl+L adds %q, not %q", h.addsWhere(), want)
	}
	h.key(ebiten.KeyU)
	h.ctrl(ebiten.KeyA)
	h.do(hand{Runes: []rune("w")})
	if h.ctrl(ebiten.KeyZ); string(h.line.text) != "    wait(0.12)" {
		t.Errorf("taken back it is %q", string(h.line.text))
	}
	h.key(ebiten.KeyArrowLeft)
	for range 4 {
		h.shift(ebiten.KeyArrowLeft)
	}
	h.draws(t, "letters selected")
	h.do(hand{Runes: []rune("3")})
	if string(h.line.text) != "    wait(3)" {
		t.Errorf("over what is selected it is %q", string(h.line.text))
	}
	h.key(ebiten.KeyArrowUp)
	third := strings.Replace(turnable, "wait(0.12)", "wait(3)", 1)
	if h.wantFile("Up", third); !h.line.open || h.line.line != at-1 {
		t.Errorf("Up opens line %d", h.line.line)
	}
	h.key(ebiten.KeyArrowDown)
	h.ctrl(ebiten.KeyA)
	h.key(ebiten.KeyBackspace)
	h.draws(t, "a line emptied")
	h.key(ebiten.KeyEnter)
	gone := strings.Replace(turnable, "    wait(0.12)\n", "", 1)
	h.wantFile("an emptied line", gone)
	h.rest(t)
	h.ctrl(ebiten.KeyZ)
	h.wantFile("undone", third)
	h.rest(t)
	h.notebook.find(at)
	h.ctrl(ebiten.KeyDelete)
	h.wantFile("Ctrl+Delete", gone)
	h.rest(t)
	h.notebook.find(1)
	h.ctrl(ebiten.KeyDelete)
	if h.wantFile("a line that is needed", gone); !h.model.Notice.Bad || h.line.open {
		t.Errorf("of a line that is needed it says %q", h.model.Notice.Text)
	}
}
