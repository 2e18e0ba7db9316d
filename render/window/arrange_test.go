package window

import (
	"math"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/geom"
	"chalkfield/render/window/viewmodel"
)

func TestTheStartIsArrangedWithUndoAndWrittenWhenAsked(t *testing.T) {
	h := atFile(t, Ahead("300"))
	h.width, h.height = 1280, 800
	h.key(ebiten.KeyA)
	st := h.state()
	if st.Mode != "arrange" || st.Time != 0 {
		t.Fatalf("mode %s at %g s", st.Mode, st.Time)
	}
	was := st.Start
	x, y := h.place("Hauler")
	h.drag(x, y, x+24, y-16)
	st = h.until("the start moved and was rehearsed", func(st *state) bool { return st.Start != was && st.Runs == 2 })
	moved := st.Start
	if st.Undo != 1 || !st.HasPale {
		t.Errorf("undo %d, pale %v", st.Undo, st.HasPale)
	}
	if readOf(t, "mine.lua") != Ahead("300") {
		t.Error("the file was written without being asked")
	}
	h.ctrl(ebiten.KeyZ)
	h.until("undone", func(st *state) bool { return st.Start == was && st.Runs == 3 })
	h.ctrl(ebiten.KeyY)
	h.until("done again", func(st *state) bool { return st.Start == moved && st.Runs == 4 })
	coreX, coreY := h.place("core 9")
	h.drag(x+24, y-16, coreX, coreY)
	h.until("what cannot stand there goes back", func(st *state) bool {
		return st.Bad && strings.HasSuffix(st.Notice, "starts in core 9 there.") && st.Start == moved
	})
	h.key(ebiten.KeyW)
	h.until("it asks", func(st *state) bool { return st.Card == "write start" })
	h.press("row Write it")
	h.until("it is rehearsed from the file", func(st *state) bool { return st.Runs >= 5 && st.Start == moved && !st.Busy })
	if got, want := readOf(t, "mine.lua"), strings.Replace(Ahead("300"), "{x = 600, y = 1000, heading = 0}", moved,
		1); got != want {
		t.Errorf("the file is now\n%s\nwant\n%s", got, want)
	}
	h.ctrl(ebiten.KeyZ)
	h.until("the file is what it was", func(st *state) bool {
		return readOf(t, "mine.lua") == Ahead("300") && st.Start == moved && !st.Bad
	})
}

// What is dragged stands on lines of tiles and of other things where it comes near, but with Alt; a heading likewise.
func TestWhatIsArrangedSnaps(t *testing.T) {
	h := atFile(t, Ahead("300"))
	h.key(ebiten.KeyA)
	for _, c := range []struct {
		x, y   float64
		beside hand
		want   string
	}{
		{1.19, 1.01, hand{}, "{x = 1200, y = 1010, heading = 0}"},
		{1.19, 1.01, hand{Alt: true}, "{x = 1190, y = 1010, heading = 0}"},
		{1, 1.01, hand{Shift: true}, "{x = 600, y = 1000, heading = 0}"},
		{0.61, 1.4, hand{Shift: true}, "{x = 600, y = 1000, heading = 90}"},
	} {
		at := h.field.view.Pixel(geom.Vec{X: 0.6, Y: 1})
		h.point(at.X, at.Y)
		h.do(hand{Pressed: true, Down: true, Shift: c.beside.Shift})
		now := c.beside
		now.Down = true
		h.toPlace(c.x, c.y, now)
		if got := viewmodel.LuaPose(h.arrange.drag.pose); got != c.want {
			t.Errorf("at %g, %g it stands at %s, want %s", c.x, c.y, got, c.want)
		}
		h.key(ebiten.KeyEscape)
		h.letGo()
	}
}

func TestTheCardOfWritingStartsOnTheSafeRow(t *testing.T) {
	h := atFile(t, Ahead("300"))
	h.key(ebiten.KeyA, ebiten.KeyTab, ebiten.KeyArrowUp)
	h.until("the start moved", func(st *state) bool { return st.Undo == 1 && st.Runs == 2 })
	h.key(ebiten.KeyW)
	h.until("it asks", func(st *state) bool { return st.Card == "write start" })
	h.key(ebiten.KeyEnter)
	if st := h.state(); st.Card != "" || st.Notice != "The file was left as it is." {
		t.Errorf("card %q, notice %q", st.Card, st.Notice)
	}
	if readOf(t, "mine.lua") != Ahead("300") {
		t.Error("the file was written")
	}
	h.key(ebiten.KeyW, ebiten.KeyArrowDown, ebiten.KeyEnter)
	if readOf(t, "mine.lua") == Ahead("300") {
		t.Error("the next row does not write it")
	}
}

func TestEscapeGivesADragUp(t *testing.T) {
	h := atFile(t, Ahead("300"))
	h.key(ebiten.KeyA)
	x, y := h.place("ochre near sled")
	h.point(x, y)
	h.push()
	h.x, h.y = x+60, y-10
	h.do(hand{Down: true})
	h.do(hand{Down: true, Keys: []ebiten.Key{ebiten.KeyEscape}})
	h.letGo()
	if st := h.state(); st.Mode != "arrange" || st.Undo != 0 || st.Runs != 1 || st.Busy || st.Notice != "Not moved." {
		t.Errorf("after Esc: %+v", st.State)
	}
	if nowX, nowY := h.place("ochre near sled"); nowX != x || nowY != y {
		t.Errorf("it stands at %g, %g, before at %g, %g", nowX, nowY, x, y)
	}
}

func TestDraggedThingsStayOnTheFloor(t *testing.T) {
	h := atFile(t, Ahead("300"))
	h.key(ebiten.KeyA)
	x, y := h.place("ochre near sled")
	view := h.state().View // points a metre, and the field's origin
	h.drag(x, y, view[1], view[2]-view[0]*1.9)
	h.until("it is moved", func(st *state) bool { return st.Undo == 1 && st.Runs == 2 && !st.Bad })
	x, y = h.place("ochre near sled")
	placeX, placeY := 1000*(x-view[1])/view[0], 1000*(view[2]-y)/view[0]
	if placeX < 100 || placeX > 250 || math.Abs(placeY-1900) > 40 {
		t.Errorf("it stands at %g, %g", placeX, placeY)
	}
}

func TestMeasuringWithTheKeys(t *testing.T) {
	h := atFile(t, Ahead("300"))
	h.key(ebiten.KeyM, ebiten.KeyArrowRight, ebiten.KeyEnter)
	h.shift(ebiten.KeyArrowRight, ebiten.KeyArrowRight, ebiten.KeyArrowUp)
	h.key(ebiten.KeyEnter)
	if got, want := h.state().Measured, "224 mm at 26.6 deg (dx 200, dy 100)"; got != want {
		t.Errorf("measured %q, want %q", got, want)
	}
}

func TestABadFileIsShownAndAGoodOneOpened(t *testing.T) {
	h := atFile(t, "return routine {\n  title = \n}\n")
	if st := h.state(); st.Fault == "" || st.Runs != 0 || !st.Bad {
		t.Fatalf("fault %q, runs %d", st.Fault, st.Runs)
	}
	h.write("good.lua", Ahead("300"))
	h.key(ebiten.KeyO)
	h.types("good")
	h.do(hand{Runes: []rune(".")}) // "good" alone may be in the folder's name too
	h.types("l")
	h.key(ebiten.KeyEnter)
	if st := h.until("the good one runs", func(st *state) bool {
		return st.Runs == 1 &&
			st.Fault == ""
	}); st.Title != "test" {
		t.Errorf("title %q", st.Title)
	}
}

func TestChartsThatHaveNoRoomScroll(t *testing.T) {
	h := atFile(t, Ahead("300"))
	h.key(ebiten.KeyG)
	for range 7 {
		h.key(ebiten.KeyArrowDown, ebiten.KeyEnter)
	}
	h.key(ebiten.KeyEscape)
	h.draws(t, "eight charts")
	st := h.state()
	if len(st.Signals) != 8 || !strings.HasSuffix(st.Hidden, "more below: wheel") {
		t.Fatalf("signals %v, hidden %q", st.Signals, st.Hidden)
	}
	drawn := h.charts.kept.kept
	h.point(middle(st.Parts["charts"]))
	h.do(hand{WheelY: -1})
	after := h.state()
	if !strings.HasPrefix(after.Hidden, "1 above") || after.Span != st.Span {
		t.Errorf("the wheel: %q, the time %v, before %v", after.Hidden, after.Span, st.Span)
	}
	if h.draws(t, "one on"); h.charts.kept.kept == drawn {
		t.Error("no other charts are drawn")
	}
	h.shift(ebiten.KeyPageDown, ebiten.KeyPageDown, ebiten.KeyPageDown, ebiten.KeyPageDown, ebiten.KeyPageDown,
		ebiten.KeyPageDown)
	if hidden := h.state().Hidden; !strings.HasSuffix(hidden, "more above: wheel") {
		t.Errorf("the last is not the end: %q", hidden)
	}
	h.shift(ebiten.KeyPageUp, ebiten.KeyPageUp, ebiten.KeyPageUp, ebiten.KeyPageUp, ebiten.KeyPageUp, ebiten.KeyPageUp)
	if hidden := h.state().Hidden; !strings.HasSuffix(hidden, "more below: wheel") {
		t.Errorf("not back at the first: %q", hidden)
	}
}
