package window_test

import (
	"strings"
	"syscall"
	"testing"
	"time"

	"chalkfield/render/window"
)

// A scheduler, or a person with a kill command, ends the window with SIGTERM: it closes by itself and keeps what it
// knows.
func TestWindowEndedFromOutsideKeepsItsMemory(t *testing.T) {
	s := newScreen(t)
	s.size(1280, 800) // in a smaller one letters cannot be larger
	path := s.write("mine.lua", window.Ahead("300"))
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
