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
}

// draw writes the speed, the time and the phase beside the buttons.
func (t *transport) draw() {
	t.drawButtons(&t.kept, t.frame.Controls)
	row := t.frame.Controls
	var x float64
	for _, e := range t.elements {
		if e.Name == "faster" {
			x = e.Rect.Right() + 12
		}
	}
	rest := row.Rest(x)
	rest.W -= 12
	used := t.words(fmt.Sprintf("x%g", t.model.Rate), rest, normal, false, scene.Dust)
	rest = rest.Rest(used + 14)
	if t.model.Now == nil {
		return
	}
	used = t.words(fmt.Sprintf("%.2f s", t.model.Time), rest, large, true, scene.Chalk)
	rest = rest.Rest(used + 8)
	used = t.words(fmt.Sprintf("of %.2f", t.model.Length()), rest, normal, false, scene.Dust)
	rest = rest.Rest(used + 14)
	rest.W -= t.drawHere(rest)
	t.words(t.model.PhaseWords(), rest, normal, false, scene.Chalk)
}

// drawHere writes the place pointed at on the field at the right end of the controls, where it covers nothing, and
// gives the width that is kept for it.
func (t *transport) drawHere(r Rect) float64 {
	if t.view.aim.valid {
		t.rightward(viewmodel.LuaPoint(t.view.aim.at), r, normal, false, scene.Chalk)
	}
	return paint.Width("{-00000, -00000}", normal, false) + 14
}
