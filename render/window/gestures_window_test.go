package window_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"chalkfield/render/scene"
	"chalkfield/render/window"
)

// gestured is a routine with something for each gesture; it takes a moment, so that the window is soon at its end.
const gestured = `return routine {
  start = {x = 600, y = 1000, heading = 0},
  auto = function(bot)
    bot.drive:visit(1200, 1000)
    bot.drive:dock(1500, 900, 0)
  end,
}
`

// untilFile waits until a file of the test's folder has a text.
func (s *screen) untilFile(what, name, want string) {
	s.t.Helper()
	var got string
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if got = read(s.t.(*testing.T), s.path(name)); got == want {
			s.until(what+" and is rehearsed", func(st state) bool { return !st.Busy })
			return
		}
	}
	s.t.Fatalf("%s: the file is\n%s\nwant\n%s\nit says %q", what, got, want, s.now().Notice)
}

// middle is the middle of what has a name, pixels.
func (s *screen) middle(name string) (x, y float64) {
	s.t.Helper()
	st := s.until("there is "+name, func(st state) bool { _, ok := st.Buttons[name]; return ok })
	r := st.Buttons[name]
	return (r.X + r.W/2) * st.Density, (r.Y + r.H/2) * st.Density
}

// pixel is where a place of the field, mm, is on the screen.
func (s *screen) pixel(x, y float64) (px, py float64) {
	st := s.now()
	return (st.View[1] + x/1000*st.View[0]) * st.Density, (st.View[2] - y/1000*st.View[0]) * st.Density
}

func (s *screen) to(x, y float64) { s.xdotool("mousemove", pixels(x), pixels(y)); s.settle() }

// bright is how much of the accent is seen in a part of the window.
func (s *screen) bright(r window.Rect) int { return count(s.lookAt(r), scene.Accent) }

// Each gesture at a real window, one after the other: what is on the screen and in the file.
func TestWindowTakesEveryGesture(t *testing.T) {
	s := newScreen(t)
	path := s.write("mine.lua", gestured)
	s.start(path, "--nominal")
	s.key("space")
	s.key("Home")
	st := s.until("it stands at the start", func(st state) bool { return !st.Playing && st.Time == 0 })
	notebook, field := st.Parts["notebook"], st.Parts["field"]
	text := gestured
	becomes := func(what, old, new string) {
		t.Helper()
		next := strings.Replace(text, old, new, 1)
		if next == text {
			t.Fatalf("%s: no %q in\n%s", what, old, text)
		}
		text = next
		s.untilFile(what, "mine.lua", text)
	}

	// A number is dragged, wheeled and typed over.
	x, y := s.middle("number 4.1")
	s.to(x, y)
	calm := s.bright(notebook)
	s.xdotool("mousedown", "1")
	s.settle()
	s.to(x+40*st.Density, y)
	s.untilSeen("the number in hand is framed", func() bool { return s.bright(notebook) > calm+50 })
	s.untilFile("while it is in hand", "mine.lua", gestured)
	s.xdotool("mouseup", "1")
	becomes("a number dragged", "visit(1200", "visit(1400")
	s.to(s.middle("number 4.2"))
	s.xdotool("keydown", "ctrl")
	s.settle()
	s.xdotool("click", "4")
	s.settle()
	s.xdotool("keyup", "ctrl")
	becomes("a number wheeled", "1400, 1000", "1400, 1020")
	s.press("number 5.2")
	s.types("9", "5", "0")
	s.key("Return")
	becomes("a number typed over", "1500, 900", "1500, 950")

	// A line is written with a name that is offered.
	x, y = s.middle("number 5.1")
	s.to(x-100*st.Density, y)
	s.key("u", "End")
	for _, key := range []string{"space", "n", "o", "t"} {
		s.types(key)
	}
	s.until("a name is offered", func(st state) bool { _, ok := st.Buttons["offer note"]; return ok })
	s.key("Tab")
	for _, key := range []string{"1", "parenright"} {
		s.types(key)
	}
	s.key("Return")
	becomes("a line edited", "950, 0)", "950, 0) note(1)")
	s.key("ctrl+z")
	becomes("undone", "950, 0) note(1)", "950, 0)")

	// Handles: a point, a heading.
	s.key("Home")
	s.until("at the start again", func(st state) bool { return st.Time == 0 })
	x, y = s.middle("handle start point 2.0")
	before := s.lookAt(field)
	toX, toY := s.pixel(600, 600)
	s.drag(x, y, toX, toY)
	becomes("the start dragged", "y = 1000", "y = 600")
	s.untilSeen("the robot stands elsewhere", func() bool { return different(before, s.lookAt(field)) > 500 })
	x, y = s.middle("handle start turn 2.1")
	toX, toY = s.pixel(600, 760)
	s.drag(x, y, toX, toY)
	becomes("the heading turned", "heading = 0", "heading = 90")

	// The right button adds what to do.
	x, y = s.pixel(2400, 1100)
	s.xdotool("mousemove", pixels(x), pixels(y))
	s.settle()
	s.xdotool("click", "3")
	s.until("the menu", func(st state) bool { return st.Card == "menu" })
	s.press("row wait half a second")
	becomes("a call added", "1020)\n", "1020)\n    wait(0.5)\n")

	s.pansAndDivides()
	s.untilFile("in the end", "mine.lua", text)
}

// pansAndDivides: what moves the view and the parts, and the keys that open and close, change no file.
func (s *screen) pansAndDivides() {
	t := s.t.(*testing.T)
	t.Helper()
	was := s.now().View
	x, y := s.pixel(2400, 1100)
	s.drag(x, y, x+60, y+20)
	s.until("the floor is dragged along", func(st state) bool {
		return math.Abs((st.View[1]-was[1])*st.Density-60) < 3 && math.Abs((st.View[2]-was[2])*st.Density-20) < 3
	})
	s.key("0")
	s.until("all of the field shows", func(st state) bool { return st.View == was })
	s.xdotool("mousemove", pixels(x), pixels(y), "click", "4")
	s.until("the wheel zooms", func(st state) bool { return st.View[0] > was[0] })
	s.key("0")
	s.until("all of the field again", func(st state) bool { return st.View == was })

	wide := s.now().Parts["notebook"].W
	x, y = s.middle("divider beside the field")
	s.drag(x, y, x-50, y)
	s.until("the notebook is wider", func(st state) bool { return st.Parts["notebook"].W > wide+20 })
	x, y = s.middle("divider beside the field")
	s.to(x, y)
	s.key("F3")
	s.until("F3 puts it back", func(st state) bool { return math.Abs(st.Parts["notebook"].W-wide) < 1 })

	for key, card := range map[string]string{"ctrl+k": "actions", "ctrl+o": "open", "ctrl+n": "new", "ctrl+f": "find"} {
		s.key(key)
		s.until(key+" opens "+card, func(st state) bool { return st.Card == card })
		s.key("ctrl+w")
		s.until("Ctrl+W closes it", func(st state) bool { return st.Card == "" })
	}
}
