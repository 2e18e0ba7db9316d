package window

import (
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

func pointAt(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }

// placeControls puts the buttons for time over the strip.
func (g *game) placeControls() {
	row := g.frame.Controls.Inset(4)
	x := row.X + 4
	put := func(width float64, e element) {
		e.Rect = Rect{X: x, Y: row.Y, W: width, H: row.H}
		e.Off = e.Off || g.model.Now == nil || g.model.Driving()
		g.add(e)
		x += width + 4
	}
	play := "Play"
	playing := g.model.Playing && g.model.Now != nil
	if playing {
		play = "Pause"
	}
	put(46, element{Name: "start", Label: "Start", Do: func() { g.model.Seek(0) }})
	put(74, element{Name: "event back", Label: "Event back", Do: g.model.EventBack})
	put(34, element{Name: "step back", Label: "-1", Do: func() { g.model.Step(-1, record.SamplePeriod) }})
	put(60, element{Name: "play", Label: play, On: playing, Do: g.model.Toggle})
	put(34, element{Name: "step on", Label: "+1", Do: func() { g.model.Step(1, record.SamplePeriod) }})
	put(68, element{Name: "event on", Label: "Event on", Do: g.model.EventOn})
	put(56, element{Name: "slower", Label: "Slower", Do: g.model.Slower})
	put(54, element{Name: "faster", Label: "Faster", Do: g.model.Faster})
}

// drawControls writes the speed, the time and the phase beside the buttons.
func (g *game) drawControls() {
	row := g.frame.Controls
	var x float64
	for _, e := range g.elements {
		if e.Name == "faster" {
			x = e.Rect.Right() + 12
		}
	}
	rest := row.Rest(x)
	rest.W -= 12
	used := g.words(fmt.Sprintf("x%g", g.model.Rate), rest, normal, false, scene.Dust)
	rest = rest.Rest(used + 14)
	if g.model.Now == nil {
		return
	}
	used = g.words(fmt.Sprintf("%.2f s", g.model.Time), rest, large, true, scene.Chalk)
	rest = rest.Rest(used + 8)
	used = g.words(fmt.Sprintf("of %.2f", g.model.Length()), rest, normal, false, scene.Dust)
	rest = rest.Rest(used + 14)
	rest.W -= g.drawHere(rest)
	g.words(g.phaseWords(), rest, normal, false, scene.Chalk)
}

// drawHere writes the place pointed at on the field at the right end of the controls, where it covers nothing, and
// gives the width that is kept for it.
func (g *game) drawHere(r Rect) float64 {
	if g.aim.valid {
		g.rightward(viewmodel.LuaPoint(g.aim.at), r, normal, false, scene.Chalk)
	}
	return paint.Width("{-00000, -00000}", normal, false) + 14
}

func (g *game) phaseWords() string {
	phase, since, ok := g.model.Now.Phase(g.model.Time)
	if !ok {
		return ""
	}
	return fmt.Sprintf("%s, %.1f s left", phase.Name, math.Max(0, phase.Seconds-since))
}

// What the line at the bottom says when a mode begins.
const (
	watchHint   = "Point at a thing to ask what it is; click to keep it."
	measureHint = "Click two points, or move the cross with the arrow keys and press Enter."
	arrangeHint = "Drag the robot, a piece or a goal; Shift turns. Tab chooses, arrows move. W writes the start into " +
		"the routine."
)

// setMode changes what the pointer does on the field.
func (g *game) setMode(m viewmodel.Mode) {
	driven := false
	if g.model.Driving() && m != viewmodel.Drive {
		if driven = g.model.EndDrive(); !driven {
			g.afterDrive(false)
		}
	}
	switch m {
	case viewmodel.Watch:
		g.model.Say(watchHint)
	case viewmodel.Measure:
		g.model.Say(measureHint)
	case viewmodel.Arrange:
		g.model.Say(arrangeHint)
	case viewmodel.Drive:
		g.showDrive()
		return
	}
	g.model.SetMode(m)
	g.stale = true
	if driven {
		g.afterDrive(true)
	}
}
