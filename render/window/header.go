package window

import (
	"cmp"
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// header tells what runs on what, and the score of this moment.
type header struct{ *shared }

// place makes the title tell itself whole, and of which file it is, when the pointer rests on it.
func (h *header) place() {
	name, about := h.titles()
	tip := name
	if about != "" {
		tip += ", " + about
	}
	if file := h.model.Source().Name; file != "" && !strings.HasPrefix(about, file+", ") {
		tip += ", " + file
	}
	title := h.frame.Bar
	title.W /= 2
	h.add(element{Name: "title", Rect: title, Bare: true, Tip: tip, Do: func() {}})
}

func (h *header) draw() {
	bar := h.frame.Bar
	h.fill(bar, h.panel)
	score := h.drawScore(bar)
	title := Rect{X: 12, Y: 0, W: bar.W - score - 36, H: bar.H}
	name, about := h.titles()
	used := h.words(name, title.Left(titleRoom(title.W, about)), large, true, scene.Chalk)
	h.words(about, title.Rest(used+titleGap), normal, false, scene.Dust)
}

const titleGap = 14.0 // between the title and what it runs on

// titleRoom is what a title may take so that what stands after it is whole, but at least half.
func titleRoom(width float64, about string) float64 {
	if about == "" {
		return width
	}
	return math.Max(width/2, width-titleGap-paint.Width(paint.Clean(about), normal, false)-1)
}

func (h *header) titles() (name, about string) {
	if board := h.model.Board(); board != nil {
		return "Build " + board.Name(), boardWords(board.Sheet())
	}
	run := h.model.Now
	if run == nil {
		return "Chalkfield", ""
	}
	header := run.Record.Header
	about = cmp.Or(header.Field.Title, header.Field.Name)
	if file := filepath.Base(h.model.Files.Field); strings.HasSuffix(file, ".toml") && h.model.Files.Record == "" {
		about += " (" + file + ")"
	}
	about += ", " + header.Session
	if header.Nominal {
		about += ", nominal"
	} else {
		about += fmt.Sprintf(", seed %d", header.Seed)
	}
	if path := h.model.Text.Path; path != "" && h.model.Files.Record == "" {
		about = filepath.Base(path) + ", " + about
	}
	if words := h.model.ArrangedWords(); words != "" {
		about += ", " + words
	}
	if len(header.Robots) == 0 {
		return about, ""
	}
	routine := header.Robots[0].Routine
	return cmp.Or(routine.Title, routine.Name, "no routine"), about
}

// drawScore writes each side's mark, name and total at the right, and gives the width used.
func (h *header) drawScore(bar Rect) float64 {
	run := h.model.Now
	if run == nil || run.Setup.Field == nil || h.model.Board() != nil {
		return 0
	}
	x := bar.Right() - 12
	for i := len(run.Setup.Field.Sides) - 1; i >= 0; i-- {
		side := run.Setup.Field.Sides[i]
		colour := scene.Legible(scene.ParseColour(side.Colour, scene.Dust), h.panel, scene.TextContrast)
		total := run.Total(i, h.model.Time)
		width := paint.Width(total, large, true)
		x -= width
		h.words(total, Rect{X: x, Y: bar.Y, W: width + 1, H: bar.H}, large, true, scene.Chalk)
		width = paint.Width(side.Name, normal, false)
		x -= width + 8
		h.words(side.Name, Rect{X: x, Y: bar.Y, W: width + 1, H: bar.H}, normal, false, colour)
		x -= 16
		h.drawer.Mark(h.pen, scene.ParseShape(side.Mark), pointAt(x+4, bar.Y+bar.H/2), 6, colour, scene.Pen{})
		x -= 24
	}
	return bar.Right() - x
}
