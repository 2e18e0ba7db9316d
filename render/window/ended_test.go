package window_test

import (
	"strings"
	"syscall"
	"testing"
	"time"
)

// A scheduler, or a person with a kill command, ends the window with SIGTERM: it closes by itself and keeps what it knows.
func TestWindowEndedFromOutsideKeepsItsMemory(t *testing.T) {
	s := newScreen(t)
	s.size(1280, 800) // in a smaller one letters cannot be larger
	path := s.write("mine.lua", routine("300"))
	s.start(path, "--nominal")
	s.key("ctrl+equal")
	s.until("letters are larger", func(st state) bool { return strings.HasPrefix(st.Notice, "Text at") })
	kept := func() string { return read(t, s.path("config/chalkfield/window.json")) }
	if text := kept(); !strings.Contains(text, "mine.lua") {
		t.Errorf("while the window is open it keeps\n%s", text)
	}
	if err := s.program.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	select {
	case err := <-s.ended:
		s.ended <- err
	case <-time.After(patience):
		t.Fatal("the window does not close")
	}
	if text := kept(); !strings.Contains(text, "mine.lua") || strings.Contains(text, `"zoom": 1,`) {
		t.Errorf("at the end it keeps\n%s", text)
	}
}

// A routine's error in a drive stands at the bottom and at its line while the drive goes on, and in the drive's card.
func TestWindowTellsARoutinesErrorDuringADrive(t *testing.T) {
	s := newScreen(t)
	driver := "  driver = function(bot, pad)\n    pad:bind(\"b\", function() error(\"boom\") end)\n" +
		"    while true do bot.drive:arcade(pad.left_y, pad.right_x) wait() end\n  end,\n}\n"
	s.start(s.write("mine.lua", strings.TrimSuffix(routine("300"), "}\n")+driver), "--nominal")
	s.key("d", "Return")
	s.until("it waits for the first move", func(st state) bool { return st.Driving && !st.Begun })
	s.hold("w", func() { s.until("the clock runs", func(st state) bool { return st.Begun && st.Time > 0.2 }) })
	s.key("k")
	st := s.until("the error is told", func(st state) bool { return st.Driving && st.Bad && strings.Contains(st.Notice, "mine.lua:10: boom") })
	if st.Line != 10 {
		t.Errorf("line %d, fault %q", st.Line, st.Fault)
	}
	s.key("F1")
	st = s.until("the sheet", func(st state) bool { return st.Card == "keys" })
	time.Sleep(300 * time.Millisecond)
	if later := s.now(); later.Time != st.Time || !later.Driving {
		t.Errorf("behind the sheet the clock went from %g to %g s", st.Time, later.Time)
	}
	s.key("Escape", "2")
	s.until("the robot's page", func(st state) bool { return st.Tab == "robot" && st.Driving && st.Card == "" })
	s.press("measure")
	s.until("it asks what to do with the drive", func(st state) bool { return st.Card == "driven" && st.Mode == "measure" })
	s.press("row Look at it")
	s.until("the fault stands at its line", func(st state) bool { return st.Card == "" && st.Line == 10 && st.Bad && !st.Driving })
}

// hold keeps a key down meanwhile.
func (s *screen) hold(key string, meanwhile func()) {
	s.t.Helper()
	s.xdotool("keydown", key)
	meanwhile()
	s.xdotool("keyup", key)
}
