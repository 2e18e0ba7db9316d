package window

import (
	"context"
	"errors"
	"fmt"
	"os/exec"
	"runtime"
	"strings"
	"time"

	"chalkfield/render/window/viewmodel"
)

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

// copyPlace copies the Lua of what is asked after. Where there is no clipboard the text goes to standard output, and
// the note at the bottom says so and shows it.
func (g *game) copyPlace() {
	thing, at := g.asked()
	_, lua := g.model.Facts(thing, g.model.Time, at)
	if g.model.Mode == viewmodel.Measure && g.model.Measured.Points > 0 {
		lua = viewmodel.LuaPoint(g.model.Measured.B)
	}
	if lua == "" {
		g.model.Say("Point at a thing, or select one with Tab, to copy its place.")
		return
	}
	if err := toClipboard(lua); err != nil {
		fmt.Fprintln(g.options.Out, lua)
		g.model.Say(fmt.Sprintf("%s   (printed on standard output: %v)", lua, err))
		return
	}
	g.model.Say("Copied " + lua)
}
