package fields

import (
	"fmt"
	"image"
	_ "image/jpeg" // the kinds of pictures that are known
	_ "image/png"
	"os"
	"path/filepath"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/geom"
)

// Picture is a picture of the field that lies under it while it is built, to be traced. It changes nothing else.
type Picture struct {
	File string      `toml:"file" need:"'plan.png'"` // from the folder of the field file
	Box  [2]geom.Vec `toml:"box" unit:"m" need:"[['0 m', '0 m'], ['3.6 m', '3.6 m']]" min:"-100 m" max:"100 m"`
	Fade float64     `toml:"fade" default:"0.5" min:"0" max:"1"` // 0: as it is, 1: not seen
}

// What a picture may hold at most.
const (
	mostPictureBytes = 32 << 20
	mostPictureSide  = 8000 // pixels
)

// ReadPicture reads a picture to be traced. The error says what is wrong and what to do.
func ReadPicture(path string) (image.Image, error) {
	if _, _, err := PictureSize(path); err != nil {
		return nil, err
	}
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	picture, _, err := image.Decode(file)
	if err != nil {
		return nil, fmt.Errorf("%s is broken (%v): save it anew as PNG or JPEG", filepath.Base(path), err)
	}
	return picture, nil
}

// PictureSize looks at a picture's head: how many pixels it is wide and high.
func PictureSize(path string) (width, height int, err error) {
	name := filepath.Base(path)
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return 0, 0, fmt.Errorf("there is no picture %s here (%v): write its name from the folder of this file", name,
			atomicfile.Cause(err))
	case !info.Mode().IsRegular():
		return 0, 0, fmt.Errorf("%s is no file: name a PNG or JPEG picture", name)
	case info.Size() > mostPictureBytes:
		return 0, 0, fmt.Errorf("%s has %d MB: save it smaller, with at most %d MB", name, info.Size()>>20,
			mostPictureBytes>>20)
	}
	file, err := os.Open(path)
	if err != nil {
		return 0, 0, fmt.Errorf("%s cannot be read: %w", name, atomicfile.Cause(err))
	}
	defer file.Close()
	head, _, err := image.DecodeConfig(file)
	switch {
	case err != nil:
		return 0, 0, fmt.Errorf("%s is no picture that is known: save it as PNG or JPEG", name)
	case head.Width > mostPictureSide || head.Height > mostPictureSide || head.Width < 1 || head.Height < 1:
		return 0, 0, fmt.Errorf("%s is %d x %d pixels: save it with 1 to %d on each side", name, head.Width, head.Height,
			mostPictureSide)
	}
	return head.Width, head.Height, nil
}
