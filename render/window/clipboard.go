package window

import (
	"bytes"
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"

	"chalkfield/render/window/viewmodel"
)

// clipboard is programs: one puts its input on the system's clipboard, one prints what is there, one puts a picture
// there: its input, or the file that it is told with {file}. Without cgo the window cannot own a clipboard itself.
type clipboard struct{ in, out, picture []string }

func clipboards() []clipboard {
	switch runtime.GOOS {
	case "darwin":
		return []clipboard{{[]string{"pbcopy"}, []string{"pbpaste"},
			[]string{"osascript", "-e", `set the clipboard to (read (POSIX file "{file}") as «class PNGf»)`}}}
	case "windows":
		return []clipboard{{[]string{"clip"}, []string{"powershell", "-NoProfile", "-Command", "Get-Clipboard"},
			[]string{"powershell", "-NoProfile", "-Sta", "-Command", "Add-Type -AssemblyName System.Windows.Forms, " +
				"System.Drawing; [Windows.Forms.Clipboard]::SetImage([Drawing.Image]::FromFile('{file}'))"}}}
	}
	return []clipboard{
		{[]string{"wl-copy"}, []string{"wl-paste", "--no-newline"},
			[]string{"wl-copy", "--type", "image/png"}},
		{[]string{"xclip", "-selection", "clipboard"}, []string{"xclip", "-selection", "clipboard", "-out"},
			[]string{"xclip", "-selection", "clipboard", "-t", "image/png"}},
		{[]string{"xsel", "--clipboard", "--input"}, []string{"xsel", "--clipboard", "--output"}, nil},
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

// errNoPictures: what is installed takes texts alone.
var errNoPictures = errors.New("no program that puts pictures on the clipboard is installed (xclip or wl-copy)")

// pictureToClipboard hands a PNG to the first of those programs that takes it.
func pictureToClipboard(data []byte) error {
	err := withClipboard(func(c clipboard, run func([]string) *exec.Cmd) error {
		if c.picture == nil {
			return errNoPictures
		}
		if !strings.Contains(c.picture[len(c.picture)-1], "{file}") {
			command := run(c.picture)
			command.Stdin = bytes.NewReader(data)
			return command.Run()
		}
		file, err := os.CreateTemp("", "chalkfield_*.png")
		if err != nil {
			return err
		}
		defer os.Remove(file.Name())
		_, err = file.Write(data)
		if err = errors.Join(err, file.Close()); err != nil {
			return err
		}
		words := slices.Clone(c.picture)
		words[len(words)-1] = strings.ReplaceAll(words[len(words)-1], "{file}", file.Name())
		return run(words).Run()
	})
	if errors.Is(err, errNoClipboard) {
		return errNoPictures
	}
	return err
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
