package window_test

import (
	"image/color"
	"math"
	"os"
	"strings"
	"testing"

	"chalkfield/render/scene"
	"chalkfield/render/window"
)

// Numbers of the axes and the legend at the sizes and text sizes that people use; what is cut off would be in Cut.
func TestWindowKeepsLegendAndAxesAtEverySize(t *testing.T) {
	s := newScreen(t)
	s.size(1280, 800)
	s.start(s.write("mine.lua", window.Ahead("300")), "--nominal")
	s.key("space", "ctrl+equal", "ctrl+equal", "ctrl+equal")
	st := s.until("text at 133 %", func(st state) bool { return strings.Contains(st.Notice, "133 %") })
	band := st.Parts["legend"]
	band.Y, band.H = band.Y+band.H-20, 18 // the legend's last row
	s.untilSeen("the legend has words", func() bool { return count(s.lookAt(band), scene.Chalk) > 60 })
}

// The place pointed at stands in the line at the bottom: nothing of the field is covered by it.
func TestWindowShowsThePlacePointedAtOffTheField(t *testing.T) {
	s := newScreen(t)
	st := s.start("--nominal")
	s.key("space", "Home")
	s.xdotool("mousemove", "5", "5")
	s.settle()
	note, field := st.Parts["note"], st.Parts["field"]
	right := note
	right.X, right.W = note.X+note.W-130, 128
	s.untilSeen("no place is written", func() bool { return count(s.lookAt(right), scene.Chalk) == 0 })
	empty, away := s.lookAt(right), s.lookAt(field)
	s.xdotool("mousemove", pixels((field.X+6)*st.Density), pixels((field.Y+0.5*field.H)*st.Density))
	s.untilSeen("the place is written there", func() bool {
		return count(s.lookAt(right), scene.Chalk) > 0 &&
			different(empty, s.lookAt(right)) > 100
	})
	if n := different(away, s.lookAt(field)); n > 30 { // the pointer itself is not in the picture
		t.Errorf("%d pixels of the field changed", n)
	}
}

// With real hands: the field's share, the floor dragged, a menu by the right button, a divider dragged and put back, a
// light theme, and all found again by the next start.
func TestWindowIsDividedByHandAndFoundAgain(t *testing.T) {
	s := newScreen(t)
	s.size(1280, 800)
	st := s.start(s.write("mine.lua", window.Ahead("300")), "--nominal")
	s.key("space", "Home")
	field, share := st.Parts["field"], func(st state) float64 {
		f := st.Parts["field"]
		return f.W * f.H / st.Width / st.Height
	}
	if share(st) < 0.5 {
		t.Errorf("the field has %.3f of the window", share(st))
	}
	x, y := (field.X+0.62*field.W)*st.Density, (field.Y+0.12*field.H)*st.Density // nothing stands there
	before := s.lookAt(field)
	s.drag(x, y, x-90, y+60)
	moved := s.until("the view has moved", func(now state) bool {
		return math.Abs(now.View[1]-st.View[1]+90/st.Density) < 2 && math.Abs(now.View[2]-st.View[2]-60/st.Density) < 2
	})
	s.untilSeen("the floor has moved", func() bool { return different(before, s.lookAt(field)) > 20000 })
	s.xdotool("mousemove", pixels(x), pixels(y), "click", "3")
	s.until("a menu is open", func(st state) bool { return st.Card == "menu" })
	s.key("Escape", "0")
	s.until("all is shown", func(now state) bool {
		return now.View == st.View && now.Card == "" && moved.View != now.View
	})
	edge := st.Parts["edge"]
	ex, ey := (edge.X+edge.W/2)*st.Density, (edge.Y+0.7*edge.H)*st.Density
	s.drag(ex, ey, ex-80, ey)
	s.until("the divider is dragged", func(now state) bool {
		return math.Abs(now.Parts["field"].W-field.W+80/st.Density) < 3
	})
	s.key("F2", "l")
	s.until("the list of layers lies beside the field", func(now state) bool {
		return now.Parts["panel"].X >= now.Parts["field"].X+now.Parts["field"].W && now.Card == "layers"
	})
	white := color.NRGBA{R: 255, G: 255, B: 255}
	s.untilSeen("it is light", func() bool { return count(s.lookAt(s.now().Parts["note"]), white) > 5000 })
	last := s.now()
	s.quit()
	if err := os.Remove(s.path("state.json")); err != nil {
		t.Fatal(err)
	}
	again := s.start(s.path("mine.lua"), "--nominal")
	for _, part := range []string{"field", "panel", "charts"} {
		if again.Parts[part] != last.Parts[part] {
			t.Errorf("the next start has %s at %+v, want %+v", part, again.Parts[part], last.Parts[part])
		}
	}
	edge = again.Parts["edge"]
	back := func(now state) bool { return math.Abs(now.Parts["field"].W-field.W) < 1 }
	for tries := 0; tries < 20 && !back(s.now()); tries++ { // on a busy machine two clicks may come too late for one
		s.xdotool("mousemove", pixels((edge.X+edge.W/2)*again.Density), pixels(ey),
			"click", "--repeat", "2", "--delay", "150", "1")
		s.settle()
	}
	s.until("a double click puts it back", back)
}
