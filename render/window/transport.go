package window

import (
	"fmt"

	"chalkfield/internal/base/record"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// transport plays, and tells where in time the window is.
type transport struct {
	*shared
	view *fieldView
	kept still
	end  float64 // of the buttons, points
}

// place puts the buttons for time over the strip.
func (t *transport) place() {
	row := t.frame.Controls.Inset(4)
	x := row.X + 4
	put := func(width float64, e element) {
		e.Rect = Rect{X: x, Y: row.Y, W: width, H: row.H}
		e.Off = e.Off || t.model.Now == nil || t.model.Driving()
		t.add(e)
		x += width + 4
	}
	play := "Play"
	playing := t.model.Playing && t.model.Now != nil
	if playing {
		play = "Pause"
	}
	put(46, element{Name: "start", Label: "Start", Do: func() { t.model.Seek(0) }})
	put(74, element{Name: "event back", Label: "Event back", Do: t.model.EventBack})
	put(34, element{Name: "step back", Label: "-1", Do: func() { t.model.Step(-1, record.SamplePeriod) }})
	put(60, element{Name: "play", Label: play, On: playing, Do: t.model.Toggle})
	put(34, element{Name: "step on", Label: "+1", Do: func() { t.model.Step(1, record.SamplePeriod) }})
	put(68, element{Name: "event on", Label: "Event on", Do: t.model.EventOn})
	put(56, element{Name: "slower", Label: "Slower", Do: t.model.Slower})
	put(54, element{Name: "faster", Label: "Faster", Do: t.model.Faster})
	t.end = x
}

// draw writes the speed, the time and the phase beside the buttons. The place pointed at on the field stands at the right
// end, where it covers nothing.
func (t *transport) draw() {
	t.drawButtons(&t.kept, t.frame.Controls)
	rest := t.frame.Controls.Rest(t.end + 8)
	rest.W -= 12
	tell := func(words string, size float64, bold bool, c scene.Colour, gap float64) {
		rest = rest.Rest(t.words(words, rest, size, bold, c) + gap)
	}
	tell(fmt.Sprintf("x%g", t.model.Rate), normal, false, scene.Dust, 14)
	if t.model.Now == nil {
		return
	}
	tell(fmt.Sprintf("%.2f s", t.model.Time), large, true, scene.Chalk, 8)
	tell(fmt.Sprintf("of %.2f", t.model.Length()), normal, false, scene.Dust, 14)
	if t.view.aim.valid {
		t.rightward(viewmodel.LuaPoint(t.view.aim.at), rest, normal, false, scene.Chalk)
	}
	rest.W -= paint.Width("{-00000, -00000}", normal, false) + 14
	tell(t.model.PhaseWords(), normal, false, scene.Chalk, 0)
}
