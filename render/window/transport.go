package window

import (
	"fmt"

	"chalkfield/render/scene"
)

// transport plays, and tells where in time the window is.
type transport struct {
	*shared
	kept still
	end  float64 // of the buttons, points
}

// place puts the buttons for time over the strip.
func (t *transport) place() {
	if t.frame.Controls.H == 0 { // somebody drives
		return
	}
	row := t.frame.Controls.Inset(2)
	x := row.X + 6
	put := func(width float64, name, label string) {
		e := t.named(name)
		e.Label, e.Hint, e.Rect = label, "", Rect{X: x, Y: row.Y + 1, W: width, H: row.H - 2}
		e.On = name == "play" && t.playing()
		e.Off = e.Off || t.model.Now == nil || t.model.Driving()
		t.add(e)
		x += width + 3
	}
	put(28, "start", "|◄")
	put(28, "event back", "◄◄")
	put(24, "back", "◄")
	if t.playing() {
		put(50, "play", "Pause")
	} else {
		put(50, "play", "Play")
	}
	put(24, "on", "►")
	put(28, "event on", "►►")
	put(24, "slower", "-")
	x += rateWidth
	put(24, "faster", "+")
	t.end = x
}

// rateWidth is the room for the speed between the buttons that change it.
const rateWidth = 36.0

func (t *transport) playing() bool { return t.model.Playing && t.model.Now != nil }

// draw writes the speed, the time and the phase beside the buttons.
func (t *transport) draw() {
	if t.frame.Controls.H == 0 {
		return
	}
	t.drawButtons(&t.kept, t.frame.Controls)
	faster := t.frame.Controls
	faster.X, faster.W = t.end-27-rateWidth-3, rateWidth
	t.centred(fmt.Sprintf("x%g", t.model.Rate), faster, small, false, scene.Dust)
	rest := t.frame.Controls.Rest(t.end + 6 - t.frame.Controls.X)
	rest.W -= 8
	tell := func(words string, size float64, bold bool, c scene.Colour, gap float64) {
		rest = rest.Rest(t.words(words, rest, size, bold, c) + gap)
	}
	if t.model.Now == nil {
		return
	}
	tell(fmt.Sprintf("%.2f s", t.model.Time), large, true, scene.Chalk, 8)
	tell(fmt.Sprintf("of %.2f", t.model.Length()), small, false, scene.Dust, 12)
	tell(t.model.PhaseWords(), small, false, scene.Chalk, 0)
}
