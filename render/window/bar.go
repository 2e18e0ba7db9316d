package window

import (
	"fmt"
	"math"
	"path/filepath"

	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// placeBar has nothing to click; the bar only tells.
func (g *game) placeBar() {}

// drawBar tells what runs on what, and the score of this moment.
func (g *game) drawBar() {
	bar := g.frame.Bar
	g.pen.Rect(bar.X, bar.Y, bar.W, bar.H, panel)
	score := g.drawScore(bar)
	score += g.drawClock(Rect{X: bar.X, Y: bar.Y, W: bar.W - score, H: bar.H})
	title := Rect{X: 12, Y: 0, W: bar.W - score - 36, H: bar.H}
	name, about := g.titles()
	used := g.words(name, title.Left(titleRoom(title.W, about)), large, true, scene.Chalk)
	g.words(about, title.Rest(used+titleGap), normal, false, scene.Dust)
}

const titleGap = 14.0 // between the title and what it runs on

// titleRoom is what a title may take so that what stands after it is whole, but at least half.
func titleRoom(width float64, about string) float64 {
	if about == "" {
		return width
	}
	return math.Max(width/2, width-titleGap-paint.Width(paint.Clean(about), normal, false)-1)
}

// drawClock writes the match clock large beside the score while a person drives, and gives the width used.
func (g *game) drawClock(r Rect) float64 {
	if !g.model.Driving() || g.model.Now == nil {
		return 0
	}
	words := g.phaseWords()
	width := paint.Width(words, large, true) + 28
	box := Rect{X: r.Right() - width, Y: r.Y + 5, W: width, H: r.H - 10}
	g.pen.Rect(box.X, box.Y, box.W, box.H, raised)
	g.centred(words, box, large, true, g.tint.Accent)
	return width + 12
}

func (g *game) titles() (name, about string) {
	run := g.model.Now
	if run == nil {
		return "Chalkfield", ""
	}
	header := run.Record.Header
	about = firstOf(header.Field.Title, header.Field.Name) + ", " + header.Session
	if header.Nominal {
		about += ", nominal"
	} else {
		about += fmt.Sprintf(", seed %d", header.Seed)
	}
	if len(header.Robots) == 0 {
		return about, ""
	}
	routine := header.Robots[0].Routine
	return firstOf(routine.Title, routine.Name, "no routine"), about
}

// windowTitle names the file that is open, for the frame and the list of windows.
func (g *game) windowTitle() string {
	files := g.model.Files
	for _, path := range []string{files.Record, g.model.Text.Path, files.Routine, g.model.Text.Name} {
		if path != "" {
			return filepath.Base(path) + " - Chalkfield"
		}
	}
	return "Chalkfield"
}

func firstOf(texts ...string) string {
	for _, text := range texts {
		if text != "" {
			return text
		}
	}
	return ""
}

// drawScore writes each side's mark, name and total at the right, and gives the width used.
func (g *game) drawScore(bar Rect) float64 {
	run := g.model.Now
	if run == nil || run.Setup.Field == nil {
		return 0
	}
	x := bar.Right() - 12
	for i := len(run.Setup.Field.Sides) - 1; i >= 0; i-- {
		side := run.Setup.Field.Sides[i]
		colour := scene.Legible(scene.ParseColour(side.Colour, scene.Dust), panel, scene.TextContrast)
		total := run.Total(i, g.model.Time)
		width := paint.Width(total, large, true)
		x -= width
		g.words(total, Rect{X: x, Y: bar.Y, W: width + 1, H: bar.H}, large, true, scene.Chalk)
		width = paint.Width(side.Name, normal, false)
		x -= width + 8
		g.words(side.Name, Rect{X: x, Y: bar.Y, W: width + 1, H: bar.H}, normal, false, colour)
		x -= 16
		g.drawer.Mark(g.pen, scene.ParseShape(side.Mark), pointAt(x+4, bar.Y+bar.H/2), 6, colour, scene.Pen{})
		x -= 24
	}
	return bar.Right() - x
}

// placeRail puts the buttons beside the field.
func (g *game) placeRail() {
	rail := g.frame.Rail
	list := g.railButtons()
	height := min(44.0, (rail.H-4)/float64(len(list)))
	for i, e := range list {
		e.Rect = Rect{X: rail.X + 4, Y: rail.Y + 4 + float64(i)*height, W: rail.W - 8, H: height - 3}
		g.add(e)
	}
}

func (g *game) railButtons() []element {
	mode := func(m viewmodel.Mode, label, hint string) element {
		return element{Name: string(m), Label: label, Hint: hint, On: g.model.Mode == m, Do: func() { g.setMode(m) }}
	}
	return []element{
		{Name: "open", Label: "Open", Hint: "O", Do: g.showOpen},
		{Name: "again", Label: "Again", Hint: "R", Do: g.reload},
		mode(viewmodel.Watch, "Watch", "V"),
		mode(viewmodel.Measure, "Measure", "M"),
		mode(viewmodel.Arrange, "Arrange", "A"),
		mode(viewmodel.Drive, "Drive", "D"),
		{Name: "values", Label: "Values", Hint: "T", Do: g.showValues},
		{Name: "layers", Label: "Layers", Hint: "L", Do: g.showLayers},
		{Name: "signals", Label: "Signals", Hint: "G", Do: g.showSignals},
		{Name: "keys", Label: "Keys", Hint: "F1", Do: g.showKeys},
	}
}
