package window

import (
	"bytes"
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"chalkfield/render/window/viewmodel"
)

// clipboard is a pair of programs: one puts its input on the system's clipboard, one prints what is there. Without cgo
// the window cannot own a clipboard itself.
type clipboard struct{ in, out []string }

func clipboards() []clipboard {
	switch runtime.GOOS {
	case "darwin":
		return []clipboard{{[]string{"pbcopy"}, []string{"pbpaste"}}}
	case "windows":
		return []clipboard{{[]string{"clip"}, []string{"powershell", "-NoProfile", "-Command", "Get-Clipboard"}}}
	}
	return []clipboard{
		{[]string{"wl-copy"}, []string{"wl-paste", "--no-newline"}},
		{[]string{"xclip", "-selection", "clipboard"}, []string{"xclip", "-selection", "clipboard", "-out"}},
		{[]string{"xsel", "--clipboard", "--input"}, []string{"xsel", "--clipboard", "--output"}},
	}
}

var errNoClipboard = errors.New("no program for the clipboard is installed (xclip, wl-copy or xsel)")

// toClipboard hands a text to the first of those programs that is there and takes it.
func toClipboard(text string) error {
	return withClipboard(func(c clipboard, run func([]string) *exec.Cmd) error {
		command := run(c.in)
		command.Stdin = strings.NewReader(text)
		return command.Run()
	})
}

// mostPasted is how many bytes of the clipboard are taken.
const mostPasted = 4096

// fromClipboard is the text that the first of those programs gives.
func fromClipboard() (text string, err error) {
	err = withClipboard(func(c clipboard, run func([]string) *exec.Cmd) error {
		out, err := run(c.out).Output()
		text = string(bytes.ToValidUTF8(out[:min(len(out), mostPasted)], nil))
		return err
	})
	return strings.TrimSpace(text), err
}

func withClipboard(do func(clipboard, func([]string) *exec.Cmd) error) error {
	ctx, stop := context.WithTimeout(context.Background(), 2*time.Second)
	defer stop()
	err := errNoClipboard
	for _, c := range clipboards() {
		if _, missing := exec.LookPath(c.in[0]); missing != nil {
			continue
		}
		err = do(c, func(words []string) *exec.Cmd { return exec.CommandContext(ctx, words[0], words[1:]...) })
		if err == nil {
			return nil
		}
	}
	return err
}

// paste does with the clipboard's text what there is to do: a place moves the selected thing there, the name of a file
// opens it.
func (g *game) paste() {
	text, err := fromClipboard()
	if err != nil {
		g.model.Say("Nothing to paste: " + err.Error() + ".")
		return
	}
	if at, turned, ok := viewmodel.ReadPlace(text); ok {
		g.pastePlace(at, turned)
		return
	}
	if info, err := os.Stat(text); err == nil && !info.IsDir() && fileWords[strings.ToLower(filepath.Ext(text))] != "" {
		g.disk.open(text)
		return
	}
	g.model.Say("Nothing to paste: the clipboard has no place like {x = 600, y = 450, heading = 90}, nor a file to open.")
}
