package window

import (
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/geom"
)

// toPlace puts the pointer on a place of the field, m, keeping what is pressed.
func (h *hands) toPlace(x, y float64, now hand) {
	at := h.field.view.Pixel(geom.Vec{X: x, Y: y})
	h.x, h.y = at.X, at.Y
	h.do(now)
}

// A handle that is dragged lights its line up, snaps, and writes its numbers when it is let go.
func TestAHandleIsDraggedOnTheField(t *testing.T) {
	mine := strings.Replace(turnable, "wait(0.12)", "bot.drive:visit(1500, 1300)", 1)
	h := atFile(t, mine)
	h.model.Seek(h.model.End)
	h.key(ebiten.KeyA)
	h.rest(t)
	h.onto("handle visit point 5.0")
	h.push()
	h.toPlace(1.81, 1.19, hand{Down: true})
	if h.wantFile("while it is dragged", mine); h.notebook.routine.found != 5 || h.handles.taken == nil {
		t.Errorf("line %d is lit up", h.notebook.routine.found)
	}
	h.rest(t)
	h.draws(t, "a handle in hand")
	h.letGo()
	want := strings.Replace(mine, "1500, 1300", "1800, 1200", 1)
	h.wantFile("let go", want)
	h.rest(t)
	h.ctrl(ebiten.KeyZ)
	h.wantFile("undone", mine)
	h.rest(t)
	h.do(hand{})
	h.onto("handle visit point 5.0")
	h.push()
	h.toPlace(1.81, 1.19, hand{Down: true, Alt: true})
	if e, _ := h.model.Held(); strings.Contains(e.New, "1800") || strings.Contains(e.New, "1200") {
		t.Errorf("with Alt it snaps: %q", e.New)
	}
	h.key(ebiten.KeyEscape)
	h.letGo()
	h.wantFile("given up", mine)
	if h.handles.taken != nil {
		t.Error("still in hand")
	}
}

// From an empty function, a routine is made with the right button.
func TestARoutineIsMadeByTheMenu(t *testing.T) {
	mine := "return routine {\n  start = {x = 600, y = 1000, heading = 0},\n  auto = function(bot) end,\n}\n"
	h := atFile(t, mine)
	for _, c := range []struct {
		row  string
		x, y float64
	}{{"row drive there:", 1.2, 1}, {"row turn to face it", 1.2, 2}, {"row arrive there", 1.5, 1.5}} {
		h.toPlace(c.x, c.y, hand{})
		h.do(hand{Menu: true})
		h.press(h.row(c.row))
		h.rest(t)
		h.do(hand{})
	}
	h.do(hand{Menu: true})
	h.press(h.row("row tell a part"))
	h.press(h.row("row intake:run(10)"))
	h.rest(t)
	want := strings.Replace(mine, "(bot) end", "(bot)\n    bot.drive:visit(1200, 1000)\n    bot.drive:face(90)\n"+
		"    bot.drive:dock(1500, 1500, 59)\n    bot.intake:run(10)\n  end", 1)
	got := h.file()
	for _, heading := range []string{"57", "58", "60", "61"} { // the robot stands within 10 mm of where it was sent
		got = strings.Replace(got, ", "+heading+")", ", 59)", 1)
	}
	if got != want {
		t.Errorf("the file is\n%s\nit says %q", h.file(), h.model.Notice.Text)
	}
}

// A value of param() is written from the list beside the field.
func TestAValueIsWrittenFromItsList(t *testing.T) {
	mine := strings.Replace(turnable, "ahead(300", `ahead(param("far", 300, 100, 500)`, 1)
	h := atFile(t, mine)
	h.key(ebiten.KeyT, ebiten.KeyArrowRight)
	h.wantFile("turned", mine)
	h.rest(t)
	h.key(ebiten.KeyEnter)
	want := strings.Replace(mine, "300, 100", "320, 100", 1)
	h.wantFile("Enter", want)
	h.rest(t)
	h.ctrl(ebiten.KeyZ)
	h.wantFile("undone", mine)
	h.rest(t)
	h.press("write far")
	h.wantFile("its button", want)
}
