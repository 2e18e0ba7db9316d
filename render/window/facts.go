package window

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os/exec"
	"runtime"
	"strings"
	"time"

	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// facts tell about what is pointed at or selected.
type facts struct {
	*fieldView
	out io.Writer // where a place goes that no clipboard took
}

const (
	factRow   = 18.0
	factName  = 78.0
	factWidth = 320.0
)

// asked is the thing that the facts are about: what is pointed at, else what is selected.
func (f *facts) asked() (viewmodel.Thing, geom.Vec) {
	if thing := f.aim.thing; f.aim.valid && thing != viewmodel.Nothing && thing.Kind != viewmodel.FloorThing {
		return thing, f.aim.at
	}
	if f.model.Selected == viewmodel.Nothing {
		return f.aim.thing, f.aim.at
	}
	return f.model.Selected, f.aim.at
}

// factCard is what is told about a thing, and where.
type factCard struct {
	name  string
	facts []viewmodel.Fact
	box   Rect
}

// now tells about the thing asked after, in the corner of the field that is farthest from it. Without facts there
// is no card.
func (f *facts) now() (factCard, bool) {
	if f.model.Now == nil {
		return factCard{}, false
	}
	thing, at := f.asked()
	facts, lua := f.model.Facts(thing, f.model.Time, at)
	if len(facts) == 0 || f.model.Mode == viewmodel.Drive || thing.Kind == viewmodel.FloorThing {
		return factCard{}, false
	}
	name := f.model.NameOf(thing)
	if lua != "" {
		name += "   (C copies the place as Lua)"
	}
	if pose, ok := f.model.Now.PoseOf(thing, f.model.Time); ok {
		at = pose.At()
	}
	return factCard{name, facts, f.box(facts, at)}, true
}

// cover is the part of the field that the card of facts will cover.
func (f *facts) cover() []paint.Box {
	c, ok := f.now()
	if !ok {
		return nil
	}
	return []paint.Box{{Left: c.box.X, Top: c.box.Y, Right: c.box.Right(), Bottom: c.box.Bottom()}}
}

func (f *facts) draw() {
	c, ok := f.now()
	if !ok {
		return
	}
	box := c.box
	f.fill(box, f.panel)
	f.pen.Rect(box.X, box.Y, 3, box.H, f.accent)
	row := Rect{X: box.X + 12, Y: box.Y + 6, W: box.W - 20, H: factRow}
	f.words(c.name, row, normal, true, scene.Chalk)
	for _, fact := range c.facts {
		if row.Y += factRow; row.Bottom() > box.Bottom() {
			return // a very low field
		}
		f.words(fact.Name, row.Left(factName), small, false, scene.Dust)
		f.words(fact.Value, row.Rest(factName), small, false, scene.Chalk)
	}
}

func (f *facts) box(facts []viewmodel.Fact, at geom.Vec) Rect {
	area := f.frame.Field
	width := math.Min(f.wide(facts), area.W-16)
	height := math.Min(float64(len(facts)+1)*factRow+12, area.H-16)
	box := Rect{X: area.X + 8, Y: area.Bottom() - height - 8, W: width, H: height}
	pixel := f.view.Pixel(at)
	if pixel.X < area.X+area.W/2 {
		box.X = area.Right() - width - 8
	}
	if pixel.Y > area.Y+area.H/2 {
		box.Y = area.Y + 8
	}
	return box
}

// wide is the width that the longest value needs.
func (f *facts) wide(facts []viewmodel.Fact) float64 {
	width := factWidth
	for _, fact := range facts {
		width = math.Max(width, factName+paint.Width(fact.Value, small, false)+24)
	}
	return math.Min(width, 0.6*f.frame.Field.W)
}

// copyPlace copies the Lua of what is asked after. Where there is no clipboard the text goes to standard output, and
// the note at the bottom says so and shows it.
func (f *facts) copyPlace() {
	thing, at := f.asked()
	_, lua := f.model.Facts(thing, f.model.Time, at)
	if f.model.Mode == viewmodel.Measure && f.model.Measured.Points > 0 {
		lua = viewmodel.LuaPoint(f.model.Measured.B)
	}
	if lua == "" {
		f.model.Say("Point at a thing, or select one with Tab, to copy its place.")
		return
	}
	if err := toClipboard(lua); err != nil {
		fmt.Fprintln(f.out, lua)
		f.model.Say(fmt.Sprintf("%s   (printed on standard output: %v)", lua, err))
		return
	}
	f.model.Say("Copied " + lua)
}

// clipboards are the programs that put their input on the system's clipboard. Without cgo the window cannot own a
// clipboard itself.
func clipboards() [][]string {
	switch runtime.GOOS {
	case "darwin":
		return [][]string{{"pbcopy"}}
	case "windows":
		return [][]string{{"clip"}}
	}
	return [][]string{{"wl-copy"}, {"xclip", "-selection", "clipboard"}, {"xsel", "--clipboard", "--input"}}
}

var errNoClipboard = errors.New("no program for the clipboard is installed (xclip, wl-copy or xsel)")

// toClipboard hands a text to the first of those programs that is there and takes it.
func toClipboard(text string) error {
	ctx, stop := context.WithTimeout(context.Background(), 2*time.Second)
	defer stop()
	err := errNoClipboard
	for _, words := range clipboards() {
		if _, missing := exec.LookPath(words[0]); missing != nil {
			continue
		}
		command := exec.CommandContext(ctx, words[0], words[1:]...)
		command.Stdin = strings.NewReader(text)
		if err = command.Run(); err == nil {
			return nil
		}
	}
	return err
}
