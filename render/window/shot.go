package window

import (
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/hajimehoshi/ebiten/v2"
)

// wantShot asks for a picture of the window at the next Draw.
func (g *game) wantShot() {
	path, err := freeName(g.folder(), "chalkfield_", ".png")
	if err != nil {
		g.model.Warn("No picture: " + err.Error())
		return
	}
	g.shot, g.stale = path, true
}

// saveShot writes what was just drawn.
func (g *game) saveShot(screen *ebiten.Image) {
	path := g.shot
	g.shot, g.stale = "", true
	size := screen.Bounds()
	picture := image.NewRGBA(size)
	screen.ReadPixels(picture.Pix)
	err := writeNew(path, func(out io.Writer) error { return png.Encode(out, picture) })
	if err != nil {
		g.model.Warn("No picture: " + err.Error())
		return
	}
	g.model.Say("Picture of the window in " + path)
}

// folder is where files are written that the window makes: beside the routine, else where the program was started.
func (g *game) folder() string {
	if g.model.Files.Routine != "" {
		if folder := filepath.Dir(g.model.Files.Routine); folder != "" {
			return folder
		}
	}
	return "."
}

// freeName is the first name with a number that no file has.
func freeName(folder, stem, ending string) (string, error) {
	for n := 1; n < 10000; n++ {
		path := filepath.Join(folder, fmt.Sprintf("%s%d%s", stem, n, ending))
		if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
			return path, nil
		} else if err != nil {
			return "", err
		}
	}
	return "", fmt.Errorf("%s: there are 9999 of these already", filepath.Join(folder, stem))
}

// writeNew writes a file that must not be there yet; nothing is left of one that could not be written whole.
func writeNew(path string, fill func(io.Writer) error) error {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	err = fill(file)
	if closing := file.Close(); err == nil {
		err = closing
	}
	if err != nil {
		err = errors.Join(err, os.Remove(path))
	}
	return err
}
