package window_test

import (
	"strconv"
	"strings"
	"testing"

	"github.com/BurntSushi/xgb/xproto"

	"chalkfield/render/window"
)

// A window manager closes a window by asking it to; the program gets no Update after that.
func TestWindowClosedByItsFrameRemembersItsSize(t *testing.T) {
	s := newScreen(t)
	s.start("--nominal")
	s.key("space")
	id := s.xdotool("search", "--onlyvisible", "--class", "chalkfield")
	s.xdotool("windowsize", id, "1200", "750")
	st := s.until("it has another size", func(st state) bool { return pixels(st.Width*st.Density) == "1200" })
	s.until("the size has lasted", func(now state) bool { return now.Updates > st.Updates+60 })
	window, err := strconv.ParseUint(id, 10, 32)
	if err != nil {
		t.Fatal(err)
	}
	s.askToClose(xproto.Window(window))
	s.gone()
	if text := read(t, s.path("config/chalkfield/window.json")); !strings.Contains(text, `"width": 1200`) ||
		!strings.Contains(text, `"height": 750`) {
		t.Errorf("remembered: %s", text)
	}
}

// A size remembered from a larger display is brought within this one, which has 1600 x 1000 pixels; the title names the
// file.
func TestWindowFitsTheDisplayAndNamesItsFile(t *testing.T) {
	s := newScreen(t)
	s.size(3000, 2000)
	s.launch(s.write("mine.lua", window.Ahead("300")), "--nominal")
	st := s.until("the window has drawn a run", func(st state) bool { return st.Drawn > 1 && st.Runs > 0 })
	if st.Width*st.Density > 1601 || st.Height*st.Density > 1001 {
		t.Errorf("it is %g x %g pixels", st.Width*st.Density, st.Height*st.Density)
	}
	id := s.xdotool("search", "--onlyvisible", "--class", "chalkfield")
	if place := s.xdotool("getwindowgeometry", id); strings.Contains(place, "-") {
		t.Errorf("it lies beyond the screen: %s", place)
	}
	if title := s.xdotool("getwindowname", id); title != "mine.lua - Chalkfield" {
		t.Errorf("the title is %q", title)
	}
}

// askToClose sends what a click on the frame's cross sends (ICCCM, 4.2.8.1).
func (s *screen) askToClose(window xproto.Window) {
	s.t.Helper()
	atom := func(name string) xproto.Atom {
		reply, err := xproto.InternAtom(s.x, false, uint16(len(name)), name).Reply()
		if err != nil {
			s.t.Fatal(err)
		}
		return reply.Atom
	}
	event := xproto.ClientMessageEvent{
		Format: 32, Window: window, Type: atom("WM_PROTOCOLS"),
		Data: xproto.ClientMessageDataUnionData32New([]uint32{uint32(atom("WM_DELETE_WINDOW")), 0, 0, 0, 0}),
	}
	if err := xproto.SendEventChecked(s.x, false, window, 0, string(event.Bytes())).Check(); err != nil {
		s.t.Fatal(err)
	}
}
