// Package settings keeps what the window should find again next time: the last files, the window's size, and how a
// person likes to drive. One JSON file in the user's configuration folder, written whole.
package settings

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/render/window/viewmodel"
)

// Things are what is remembered.
type Things struct {
	Recent []viewmodel.Files `json:"recent"` // the latest first
	Width  int               `json:"width"`  // device-independent pixels
	Height int               `json:"height"`
	Zoom   float64           `json:"zoom"` // of text and buttons, 1 is normal
	Tank   bool              `json:"tank"` // driving: a stick for each side
}

const most = 8 // recent entries kept

// Limits of a window's size that is taken over from the file.
const (
	LeastWidth, LeastHeight = 960, 600
	mostWidth, mostHeight   = 16384, 16384
)

// Defaults are for the first time.
func Defaults() Things { return Things{Width: 1280, Height: 800, Zoom: 1} }

// Path is where the file is: chalkfield/window.json in the user's configuration folder.
func Path() (string, error) {
	folder, err := os.UserConfigDir()
	if err != nil {
		return "", err
	}
	return filepath.Join(folder, "chalkfield", "window.json"), nil
}

// Load reads the file. A missing file gives the defaults; one that cannot be read gives the defaults and the reason,
// which is for telling, not for stopping.
func Load(path string) (Things, error) {
	data, err := atomicfile.Read(path, atomicfile.Window)
	if errors.Is(err, fs.ErrNotExist) {
		return Defaults(), nil
	}
	if err != nil {
		return Defaults(), err
	}
	things := Defaults()
	if err := json.Unmarshal(data, &things); err != nil {
		return Defaults(), fmt.Errorf("%s: not readable, started fresh: %w", path, err)
	}
	return things.sane(), nil
}

// sane brings every value into its range, whatever the file held.
func (t Things) sane() Things {
	t.Width = min(max(t.Width, LeastWidth), mostWidth)
	t.Height = min(max(t.Height, LeastHeight), mostHeight)
	if !(t.Zoom >= 0.75 && t.Zoom <= 3) {
		t.Zoom = 1
	}
	t.Recent = t.Recent[:min(len(t.Recent), most)]
	return t
}

// Save writes the file whole, and makes its folder where needed.
func (t Things) Save(path string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return atomicfile.Write(path, func(out io.Writer) error {
		encoder := json.NewEncoder(out)
		encoder.SetIndent("", "  ")
		return encoder.Encode(t)
	})
}

// Forget takes files off the recent ones.
func (t *Things) Forget(files viewmodel.Files) {
	t.Recent = slices.DeleteFunc(t.Recent, func(other viewmodel.Files) bool { return other == files })
}

// Opened puts files at the head of the recent ones. The demo, which has no file, is not remembered.
func (t *Things) Opened(files viewmodel.Files) {
	if files == (viewmodel.Files{}) {
		return
	}
	kept := []viewmodel.Files{files}
	for _, other := range t.Recent {
		if other != files && len(kept) < most {
			kept = append(kept, other)
		}
	}
	t.Recent = kept
}
