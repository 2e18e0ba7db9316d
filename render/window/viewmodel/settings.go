package viewmodel

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/units"
)

// Settings are what the window finds again next time: one JSON file in the user's configuration folder, written whole.
type Settings struct {
	Recent []Files `json:"recent"` // the latest first
	Width  int     `json:"width"`  // device-independent pixels
	Height int     `json:"height"`
	Zoom   float64 `json:"zoom"` // of text and buttons, 1 is normal
	Tank   bool    `json:"tank"` // driving: a stick for each side
	Pad    PadMap  `json:"pad,omitzero"`
	Silent bool    `json:"silent,omitempty"` // driving: without sounds
	Layout Layout  `json:"layout"`
	Learn  *Layout `json:"learn,omitempty"` // beside a lesson; nil: as at first
	Asked  Asked   `json:"asked,omitzero"`
	Theme  string  `json:"theme,omitempty"`  // "": the slate
	Units  string  `json:"units,omitempty"`  // in which quantities are shown; "": metric
	Editor string  `json:"editor,omitempty"` // command that opens {file} at {line}; "": VISUAL, EDITOR

	other *Layout // Layout is that beside a lesson, and this the other one
}

// Layout is what a person changed of how the window is divided. The zero Layout changes nothing.
type Layout struct {
	Dock     float64 `json:"dock,omitempty"`   // width of what stands beside the field, points; 0: what the field leaves
	Strip    float64 `json:"strip,omitempty"`  // height of what stands under the field, points
	Panel    float64 `json:"panel,omitempty"`  // share of the height beside the field for a list, 0 to 1
	Charts   float64 `json:"charts,omitempty"` // and for the charts
	Lesson   float64 `json:"lesson,omitempty"` // and for a lesson
	Lists    float64 `json:"lists,omitempty"`  // width of what stands beside what is built, points
	Things   float64 `json:"things,omitempty"` // share of the height there for the list of things
	Folded   bool    `json:"folded,omitempty"` // nothing stands beside the field
	NoPages  bool    `json:"no_pages,omitempty"`
	NoCharts bool    `json:"no_charts,omitempty"`
	NoLesson bool    `json:"no_lesson,omitempty"`
	Open     string  `json:"open,omitempty"` // name of the list beside the field
}

// Asked is how many rehearsals a study was asked for last; 0: none was.
type Asked struct {
	Trials float64 `json:"trials,omitempty"`
	Pairs  float64 `json:"pairs,omitempty"`
	Each   float64 `json:"each,omitempty"` // at each value of a sweep
}

// MostAsked is the most that can be asked for.
const MostAsked = 100000

const mostRecent = 8 // recent entries kept

// Limits of a window's size and letters that are taken over from the file.
const (
	LeastWidth, LeastHeight = 960, 600
	mostWidth, mostHeight   = 16384, 16384
	leastZoom, mostZoom     = 0.75, 3
)

// DefaultSettings are for the first time.
func DefaultSettings() Settings { return Settings{Width: 1280, Height: 800, Zoom: 1} }

// SettingsPath is where the file is: chalkfield/window.json in the user's configuration folder.
func SettingsPath() (string, error) {
	folder, err := os.UserConfigDir()
	if err != nil {
		return "", err
	}
	return filepath.Join(folder, "chalkfield", "window.json"), nil
}

// LoadSettings reads the file. A missing file gives the defaults; one that cannot be read gives the defaults and the
// reason, which is for telling, not for stopping.
func LoadSettings(path string) (Settings, error) {
	data, err := atomicfile.Read(path, atomicfile.Window)
	if errors.Is(err, fs.ErrNotExist) {
		return DefaultSettings(), nil
	}
	if err != nil {
		return DefaultSettings(), err
	}
	things := DefaultSettings()
	if err := json.Unmarshal(data, &things); err != nil {
		return DefaultSettings(), fmt.Errorf("%s: not readable, started fresh: %w", path, err)
	}
	return things.sane(), nil
}

// RememberedUnits are those of the settings, metric ones where these cannot be read.
func RememberedUnits() units.System {
	path, err := SettingsPath()
	if err != nil {
		return units.Metric
	}
	things, _ := LoadSettings(path) // the window says what is wrong with them
	return things.Shows()
}

// Shows is the system in which quantities are shown.
func (t Settings) Shows() units.System {
	in, _ := units.SystemCalled(t.Units)
	return in
}

// Measure keeps another system.
func (t *Settings) Measure(in units.System) { t.Units = in.String() }

// sane brings every value into its range, whatever the file held.
func (t Settings) sane() Settings {
	t.Width = min(max(t.Width, LeastWidth), mostWidth)
	t.Height = min(max(t.Height, LeastHeight), mostHeight)
	if !(t.Zoom >= leastZoom && t.Zoom <= mostZoom) {
		t.Zoom = 1
	}
	t.Recent = t.Recent[:min(len(t.Recent), mostRecent)]
	t.Layout = t.Layout.sane()
	if t.Learn != nil {
		learn := t.Learn.sane()
		t.Learn = &learn
	}
	for _, n := range []*float64{&t.Asked.Trials, &t.Asked.Pairs, &t.Asked.Each} {
		if !(*n >= 1 && *n <= MostAsked) {
			*n = 0
		}
		*n = math.Round(*n)
	}
	return t
}

// sane forgets sizes that are none.
func (l Layout) sane() Layout {
	for _, points := range []*float64{&l.Dock, &l.Strip} {
		if !(*points >= 0 && *points <= mostWidth) {
			*points = 0
		}
	}
	for _, share := range []*float64{&l.Panel, &l.Charts, &l.Lesson} {
		if !(*share >= 0 && *share <= 1) {
			*share = 0
		}
	}
	return l
}

// Save writes the file whole, and makes its folder where needed.
func (t Settings) Save(path string) error {
	if t.other != nil {
		learn := t.Layout
		t.Layout, t.Learn = *t.other, &learn
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return atomicfile.Write(path, func(out io.Writer) error {
		encoder := json.NewEncoder(out)
		encoder.SetIndent("", "  ")
		return encoder.Encode(t)
	})
}

// Learns divides the window as it is divided beside a lesson.
func (t *Settings) Learns() {
	other := t.Layout
	t.Layout, t.other = Layout{NoCharts: true}, &other // a lesson has curves of its own
	if t.Learn != nil {
		t.Layout = *t.Learn
	}
}

// Sized keeps the window's size.
func (t *Settings) Sized(width, height int) { t.Width, t.Height = width, height }

// Divide keeps another layout.
func (t *Settings) Divide(l Layout) { t.Layout = l }

// Asks keeps how many rehearsals a study was asked for.
func (t *Settings) Asks(a Asked) { t.Asked = a }

// Dress keeps another theme.
func (t *Settings) Dress(theme string) { t.Theme = theme }

// Hush keeps whether a drive is without sounds.
func (t *Settings) Hush(silent bool) { t.Silent = silent }

// Sticks keeps how a person drives.
func (t *Settings) Sticks(tank bool) { t.Tank = tank }

// Enlarge makes letters larger or smaller by a factor, and reports whether it could. most is the largest size that they
// really have room for, from which they then change: a small window may have none for the size asked for in a larger
// one.
func (t *Settings) Enlarge(factor, most float64) bool {
	if factor > 1 && t.Zoom > most-0.005 {
		return false
	}
	t.Zoom = math.Min(math.Max(math.Min(t.Zoom, most)*factor, leastZoom), math.Min(mostZoom, math.Max(most, leastZoom)))
	if math.Abs(t.Zoom-1) < 0.03 {
		t.Zoom = 1
	}
	return true
}

// Forget takes files off the recent ones.
func (t *Settings) Forget(files Files) {
	t.Recent = slices.DeleteFunc(t.Recent, func(other Files) bool { return other == files })
}

// Opened puts files at the head of the recent ones. The demo, which has no file, is not remembered.
func (t *Settings) Opened(files Files) {
	if files == (Files{}) {
		return
	}
	t.Forget(files)
	t.Recent = append([]Files{files}, t.Recent[:min(len(t.Recent), mostRecent-1)]...)
}
