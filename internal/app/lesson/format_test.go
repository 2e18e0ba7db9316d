package lesson

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"chalkfield/assets"
	"chalkfield/internal/base/property"
)

// The guide's page has every key of lesson.toml.
func TestTheGuideHasEveryKey(t *testing.T) {
	page, err := assets.GuidePage("lessons")
	if err != nil {
		t.Fatal(err)
	}
	for _, table := range []reflect.Type{reflect.TypeFor[Lesson](), reflect.TypeFor[Step](), reflect.TypeFor[Hint](),
		reflect.TypeFor[Course](), reflect.TypeFor[Gate](), reflect.TypeFor[Medals](), reflect.TypeFor[Judged]()} {
		for i := range table.NumField() {
			key := table.Field(i).Tag.Get("toml")
			if key != "" && !strings.Contains(page, "`"+key) && !strings.Contains(page, "["+key+"]") &&
				!strings.Contains(page, key+" = ") {
				t.Errorf("assets/guide/lessons.md does not tell of %s of %s", key, table.Name())
			}
		}
	}
}

// Whatever is in the files of a lesson, it is a lesson or there is an error that names its file.
func TestSpoiltLessonsAreErrors(t *testing.T) {
	whole := example(t)
	var names []string
	for name := range whole {
		names = append(names, name)
	}
	slices.Sort(names)
	draw := rand.New(rand.NewPCG(17, 1))
	for range property.Cases(60, 800) {
		name := names[draw.IntN(len(names))]
		data := bytes.Clone(whole[name].Data)
		at := draw.IntN(len(data))
		switch draw.IntN(4) {
		case 0:
			data = data[:at]
		case 1:
			data[at] = byte(draw.IntN(256))
		case 2:
			data = slices.Insert(data, at, data[draw.IntN(len(data)):]...)
		case 3:
			data = slices.Delete(data, at, min(len(data), at+1+draw.IntN(40)))
		}
		spoilt := fstest.MapFS{}
		for file, content := range whole {
			spoilt[file] = content
		}
		spoilt[name] = &fstest.MapFile{Data: data}
		if _, err := Read(spoilt, "class/mark"); err != nil && !strings.Contains(err.Error(), "class/mark") {
			t.Errorf("%s spoilt: the error names no file: %v\n%s", name, err, data)
		}
	}
}

func TestWhatIsNoFileOrTooLargeIsRefused(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "mark")
	for name, file := range example(t) {
		path := filepath.Join(folder, name)
		if err := errors.Join(os.MkdirAll(folder, 0o755), os.WriteFile(path, file.Data, 0o600)); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := Folder(folder); err != nil {
		t.Fatal(err)
	}
	for name, spoil := range map[string]func(path string) error{
		"is too large": func(path string) error { return os.WriteFile(path, make([]byte, 2<<20), 0o600) },
		"path escapes": func(path string) error { return os.Symlink("/etc/passwd", path) },
	} {
		path := filepath.Join(folder, "robot.toml")
		if err := spoil(path); err != nil {
			if runtime.GOOS == "windows" {
				continue // links need rights there
			}
			t.Fatal(err)
		}
		if _, err := Folder(folder); err == nil || !strings.Contains(err.Error(), "robot.toml: cannot be read: ") ||
			!strings.Contains(err.Error(), name) {
			t.Errorf("%s: %v", name, err)
		}
		if err := os.Remove(path); err != nil {
			t.Fatal(err)
		}
	}
}
