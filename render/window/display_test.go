package window_test

import (
	"math"
	"strings"
	"testing"

	"chalkfield/render/scene"
)

func TestWindowScrollsTheChartsThatHaveNoRoom(t *testing.T) {
	s := newScreen(t)
	s.start("--nominal")
	s.key("space", "g")
	for range 7 {
		s.key("Down", "Return")
	}
	s.key("Escape")
	st := s.until("some have no room, and it says so", func(st state) bool { return len(st.Signals) == 8 && strings.HasSuffix(st.Hidden, "more below: wheel") })
	charts := st.Parts["charts"]
	before := s.lookAt(charts)
	s.xdotool("mousemove", pixels((charts.X+0.5*charts.W)*st.Density), pixels((charts.Y+0.5*charts.H)*st.Density))
	s.xdotool("click", "5")
	after := s.until("there are more above", func(st state) bool { return strings.HasPrefix(st.Hidden, "1 more above") })
	if after.Span != st.Span {
		t.Errorf("the wheel stretched the time too: %v, before %v", after.Span, st.Span)
	}
	s.untilSeen("other charts are drawn", func() bool { return different(before, s.lookAt(charts)) > 2000 })
	s.key("shift+Next", "shift+Next", "shift+Next", "shift+Next", "shift+Next", "shift+Next")
	s.until("the last is the end", func(st state) bool { return strings.HasSuffix(st.Hidden, "more above: wheel") })
	s.key("shift+Prior", "shift+Prior", "shift+Prior", "shift+Prior", "shift+Prior", "shift+Prior")
	s.until("back at the first", func(st state) bool { return strings.HasSuffix(st.Hidden, "more below: wheel") })
}

func TestWindowCardsStartOnARowThatCanBeChosen(t *testing.T) {
	s := newScreen(t)
	path := s.write("mine.lua", routine("300"))
	s.start(path, "--nominal")
	s.key("a", "Tab", "Up")
	s.until("the start moved", func(st state) bool { return st.Undo == 1 && st.Runs == 2 })
	s.key("w")
	s.until("it asks", func(st state) bool { return st.Card == "write start" })
	s.key("Return")
	s.until("the safe choice was the first", func(st state) bool { return st.Card == "" && st.Notice == "The file was left as it is." })
	if read(t, path) != routine("300") {
		t.Error("the file was written")
	}
	s.key("w", "Down", "Return")
	s.until("the next row writes it", func(state) bool { return read(t, path) != routine("300") })
}

func TestWindowEscapeGivesADragUp(t *testing.T) {
	s := newScreen(t)
	s.start(s.write("mine.lua", routine("300")), "--nominal")
	s.key("a")
	st := s.until("arranging", func(st state) bool { return st.Mode == "arrange" && st.Time == 0 })
	x, y := st.place(t, "ochre near sled")
	s.xdotool("mousemove", pixels(x), pixels(y))
	s.settle()
	s.xdotool("mousedown", "1")
	s.settle()
	s.xdotool("mousemove", pixels(x+60), pixels(y-10))
	s.settle()
	s.key("Escape")
	s.xdotool("mouseup", "1")
	s.settle()
	st = s.now()
	if st.Mode != "arrange" || st.Undo != 0 || st.Runs != 1 || st.Busy || st.Notice != "Not moved." {
		t.Errorf("after Esc: %v, undo %d", st, st.Undo)
	}
	if nowX, nowY := st.place(t, "ochre near sled"); nowX != x || nowY != y {
		t.Errorf("it stands at %g, %g, before at %g, %g", nowX, nowY, x, y)
	}
}

func TestWindowDraggedThingsStayOnTheFloor(t *testing.T) {
	s := newScreen(t)
	s.start(s.write("mine.lua", routine("300")), "--nominal")
	s.key("a")
	st := s.until("arranging", func(st state) bool { return st.Mode == "arrange" && st.Time == 0 })
	x, y := st.place(t, "ochre near sled")
	cornerX, cornerY := st.View[1]*st.Density, st.View[2]*st.Density // of the field's origin
	s.drag(x, y, cornerX, cornerY-st.View[0]*st.Density*1.9)
	st = s.until("it is moved", func(st state) bool { return st.Undo == 1 && st.Runs == 2 && !st.Bad })
	x, y = st.place(t, "ochre near sled")
	placeX := 1000 * (x/st.Density - st.View[1]) / st.View[0]
	placeY := 1000 * (st.View[2] - y/st.Density) / st.View[0]
	if placeX < 100 || placeX > 250 || math.Abs(placeY-1900) > 40 {
		t.Errorf("it stands at %g, %g", placeX, placeY)
	}
}

// Numbers of the axes and the legend at the sizes and text sizes that people use; what is cut off would be in Cut.
func TestWindowKeepsLegendAndAxesAtEverySize(t *testing.T) {
	s := newScreen(t)
	s.size(1280, 800)
	s.start(s.write("mine.lua", routine("300")), "--nominal")
	s.key("space", "ctrl+equal", "ctrl+equal", "ctrl+equal")
	st := s.until("text at 133 %", func(st state) bool { return strings.Contains(st.Notice, "133 %") })
	field := st.Parts["field"]
	band := field
	band.Y, band.H = field.Y+field.H-20, 18 // the legend's last row
	s.untilSeen("the legend has words", func() bool { return count(s.lookAt(band), scene.Chalk) > 60 })
}

// The place pointed at stands beside the controls: nothing of the field is covered by it.
func TestWindowShowsThePlacePointedAtOffTheField(t *testing.T) {
	s := newScreen(t)
	st := s.start("--nominal")
	s.key("space", "Home")
	s.xdotool("mousemove", "5", "5")
	s.settle()
	controls, field := st.Parts["controls"], st.Parts["field"]
	right := controls
	right.X, right.W = controls.X+controls.W-130, 128
	s.untilSeen("no place is written", func() bool { return count(s.lookAt(right), scene.Chalk) == 0 })
	empty, away := s.lookAt(right), s.lookAt(field)
	s.xdotool("mousemove", pixels((field.X+6)*st.Density), pixels((field.Y+0.5*field.H)*st.Density))
	s.untilSeen("the place is written there", func() bool { return count(s.lookAt(right), scene.Chalk) > 0 && different(empty, s.lookAt(right)) > 100 })
	if n := different(away, s.lookAt(field)); n > 30 { // the pointer itself is not in the picture
		t.Errorf("%d pixels of the field changed", n)
	}
}
