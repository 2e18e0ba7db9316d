package window

import (
	"io/fs"
	"math"
	"path/filepath"
	"strings"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/geom"
	"chalkfield/render/window/viewmodel"
)

// pointElements does what a clicked element stands for. The click is then used up.
func (g *game) pointElements() {
	if !g.hand.Pressed {
		return
	}
	e := g.under()
	if e == nil {
		return
	}
	g.hand.Pressed = false
	if !e.Off {
		e.Do()
	}
	g.stale = true
}

// pointField takes clicks, drags and the wheel on the field.
func (g *game) pointField() {
	if !g.hand.Down { // a quick click goes down and up in one update: then it is no longer down in the next
		g.endDrag()
	}
	g.followDrag()
	if g.card != nil || !g.frame.Field.Contains(g.hand.X, g.hand.Y) {
		return
	}
	if g.hand.WheelY != 0 {
		g.zoomAt(g.pointer(), math.Pow(zoomStep, g.hand.WheelY))
	}
	if g.hand.Pan {
		g.panBy(g.hand.X-g.hand.lastX, g.hand.Y-g.hand.lastY)
	}
	if g.hand.Pressed && g.aim.valid && g.model.Now != nil {
		g.clickField()
	}
}

func (g *game) clickField() {
	switch g.model.Mode {
	case viewmodel.Measure:
		g.takePoint()
	case viewmodel.Arrange:
		g.beginDrag()
	case viewmodel.Watch:
		g.model.Select(viewmodel.Nothing)
		switch g.aim.thing.Kind {
		case viewmodel.RobotThing, viewmodel.PieceThing, viewmodel.GoalThing:
			g.model.Select(g.aim.thing)
		}
	}
}

func (g *game) takePoint() {
	g.model.TakePoint(g.aim.at)
	g.stale = true
}

// middle is the middle of the field's part of the window.
func (g *game) middle() geom.Vec {
	a := g.field.view.Area
	return geom.Vec{X: (a.Left + a.Right) / 2, Y: (a.Top + a.Bottom) / 2}
}

// takeDropped opens files dropped on the window.
func (g *game) takeDropped() {
	if g.hand.Dropped == nil {
		return
	}
	entries, err := fs.ReadDir(g.hand.Dropped, ".")
	if err != nil || len(entries) == 0 {
		g.model.Warn("What was dropped could not be read.")
		return
	}
	for _, entry := range entries {
		if at, ok := entry.(ebiten.AbsPather); ok {
			g.open(at.AbsPath())
		}
	}
}

// open opens a file and watches what stands behind it now.
func (g *game) open(path string) {
	worth := g.model.Open(path)
	g.watch.follow(g.model.Watch)
	files := g.model.Files
	if strings.EqualFold(filepath.Ext(path), ".jsonl") {
		files = viewmodel.Files{Record: path}
	}
	switch {
	case worth:
		g.opened(files)
	case files.Record != "":
		g.forget(files)
	}
}
