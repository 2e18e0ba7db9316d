package window

import (
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/window/viewmodel"
)

// A number, a line and a handle of a file that the routine requires are turned in the page and written into that file.
func TestTheNumbersOfARequiredFileAreTurned(t *testing.T) {
	const arm = "local arm = {}\nfunction arm.go(bot)\n  bot.drive:visit(1500, 1300)\nend\nreturn arm\n"
	mine := strings.Replace(turnable, "return routine", "local arm = require \"arm\"\nreturn routine", 1)
	mine = strings.Replace(mine, "wait(0.12)", "arm.go(bot)", 1)
	h := atFileBy(t, turnable, loadFile)
	h.write("arm.lua", arm)
	h.write("mine.lua", mine)
	h.key(ebiten.KeyR)
	h.rest(t)
	h.draws(t, "a bar with the file's name")
	before := h.model.Now
	h.press("files")
	h.press(h.row("row arm.lua"))
	if s := h.model.Source(); s.Name != "arm.lua" || s.Text != arm || h.model.LitLines() != nil {
		t.Fatalf("the page has %+v", s)
	}
	h.draws(t, "the required file")
	h.pull("number 3.1", 40)
	h.rest(t)
	if h.model.Now == before || h.model.Outcome() == "" {
		t.Errorf("it is not rehearsed: %q", h.model.Notice.Text)
	}
	h.letGo()
	want := strings.Replace(arm, "1500", "1700", 1)
	if got := readOf(t, "arm.lua"); got != want {
		t.Errorf("arm.lua is\n%s", got)
	}
	h.wantFile("all the time", mine)
	h.rest(t)
	h.write("arm.lua", "-- outside\n"+want)
	h.key(ebiten.KeyR)
	h.rest(t)
	h.ctrl(ebiten.KeyZ)
	if got := readOf(t, "arm.lua"); got != "-- outside\n"+arm {
		t.Errorf("undone, arm.lua is\n%s\nit says %q", got, h.model.Notice.Text)
	}
	h.rest(t)
	h.model.Seek(0)
	h.key(ebiten.KeyA)
	h.onto("handle visit point 4.0")
	h.push()
	h.toPlace(1.2, 1.2, hand{Down: true})
	h.letGo()
	if got := readOf(t, "arm.lua"); got != "-- outside\n"+strings.Replace(arm, "1500, 1300", "1200, 1200", 1) {
		t.Errorf("by its handle, arm.lua is\n%s", got)
	}
	h.rest(t)

	// A mistake in it shows it, and one in the routine that.
	h.write("arm.lua", "local arm = {}\nfunction arm.go(bot)\n  error('no')\nend\nreturn arm\n")
	h.model.ShowFile("")
	h.key(ebiten.KeyEscape, ebiten.KeyR)
	h.rest(t)
	if s := h.model.Source(); s.Module != "arm.lua" || h.notebook.routine.faultyLine() != 3 {
		t.Errorf("with a mistake in arm.lua the page has %s, line %d: %q", s.Name, h.notebook.routine.faultyLine(),
			h.model.Notice.Text)
	}
	h.write("mine.lua", "return 1 +")
	h.key(ebiten.KeyR)
	h.rest(t)
	if s := h.model.Source(); s.Module != "" || h.model.Fault == nil {
		t.Errorf("with a mistake in mine.lua the page has %s", s.Name)
	}
	h.model.Exchange(viewmodel.Files{Routine: "arm.lua"})
	if h.rest(t); len(h.model.Modules()) != 0 {
		t.Errorf("another routine has %v", h.model.Modules())
	}
}
