// Package window is the program's window: it watches, questions and drives rehearsals. It draws what
// render/window/viewmodel remembers and turns keys and the pointer into calls of the model; every picture of the field
// comes from render/scene.
package window

import (
	"context"
	"errors"
	"fmt"
	"io"
	"sync"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/units"
	"chalkfield/render/window/sound"
	"chalkfield/render/window/viewmodel"
)

// Options say what the window opens with.
type Options struct {
	Files viewmodel.Files
	Load  viewmodel.Loader
	Start viewmodel.Starter // of programs that a record names
	Named string            // a program that the person has named
	Drive Drive             // a drive that it begins with
	Build string            // a field file that it begins to build; "": none
	Out   io.Writer         // where text goes that no clipboard took
	Err   io.Writer         // notes that have no place in the window

	Lessons *viewmodel.School // nil: none
	Lesson  string            // the name of one that it begins with; "": the list of all

	// Dump, when not empty, is a file that the window's state is written to at every update (for tests; see
	// DEVELOPERS.md).
	Dump  string
	Units units.System // in which quantities are shown
}

// Drive says whether the window begins with a drive, and where that begins.
type Drive int

const (
	NoDrive    Drive = iota
	WholeDrive       // with the session
	PhaseDrive       // with the first phase that somebody drives; what comes before runs at once
)

// errNoDisplay is the one line that a machine without a display gets.
var errNoDisplay = errors.New("there is no display to open a window on; `chalkfield run` rehearses without one")

// Open shows the window until it is closed or ctx ends.
func Open(ctx context.Context, o Options) error {
	memory, path, note := recall()
	if note != nil {
		fmt.Fprintf(o.Err, "chalkfield: %v\n", note)
	}
	g := newGame(ctx, o, memory, path)
	defer g.close()
	g.showIn(o.Units)
	g.driver.player = sync.OnceValue(sound.Open)
	ebiten.SetWindowTitle("Chalkfield")
	ebiten.SetWindowResizingMode(ebiten.WindowResizingModeEnabled)
	least := [2]int{viewmodel.LeastWidth, viewmodel.LeastHeight}
	if monitor := ebiten.Monitor(); monitor != nil {
		memory.Sized(onDisplay(memory.Width, memory.Height, monitor))
		least[0], least[1] = onDisplay(least[0], least[1], monitor)
	}
	ebiten.SetWindowSizeLimits(least[0], least[1], -1, -1)
	ebiten.SetWindowSize(memory.Width, memory.Height)
	ebiten.SetScreenClearedEveryFrame(false) // a frame in which nothing changed is not drawn again
	ebiten.SetRunnableOnUnfocused(true)
	ebiten.SetTPS(ebiten.SyncWithFPS) // one Update a frame
	err := ebiten.RunGameWithOptions(g, &ebiten.RunGameOptions{X11ClassName: "chalkfield", X11InstanceName: "chalkfield"})
	if err != nil && !g.started {
		return fmt.Errorf("%w (%v)", errNoDisplay, err)
	}
	return err
}

// recall reads what was remembered; without a configuration folder nothing is remembered.
func recall() (things viewmodel.Settings, path string, note error) {
	path, err := viewmodel.SettingsPath()
	if err != nil {
		return viewmodel.DefaultSettings(), "", fmt.Errorf("nothing will be remembered: %w", err)
	}
	things, err = viewmodel.LoadSettings(path)
	return things, path, err
}
