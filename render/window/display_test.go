package window_test

import (
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
