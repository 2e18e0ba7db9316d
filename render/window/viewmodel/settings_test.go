package viewmodel

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"testing"
)

func TestWhatIsSavedComesBack(t *testing.T) {
	path := filepath.Join(t.TempDir(), "new", "folder", "window.json")
	want := Settings{Width: 1500, Height: 900, Zoom: 1.25, Tank: true,
		Recent: []Files{{Routine: "a.lua", Robot: "r.toml"}}}
	if err := want.Save(path); err != nil {
		t.Fatal(err)
	}
	got, err := LoadSettings(path)
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, %v", got, err)
	}
}

// A window with lessons is divided otherwise than one without, and both are found again.
func TestLessonsHaveALayoutOfTheirOwn(t *testing.T) {
	path := filepath.Join(t.TempDir(), "window.json")
	first := DefaultSettings()
	first.Divide(Layout{Dock: 300})
	first.Learns()
	if !first.Layout.NoCharts || first.Layout.Dock != 0 {
		t.Errorf("at first it is %+v", first.Layout)
	}
	first.Divide(Layout{Lesson: 0.7})
	if err := first.Save(path); err != nil {
		t.Fatal(err)
	}
	got, err := LoadSettings(path)
	if err != nil || got.Layout != (Layout{Dock: 300}) {
		t.Errorf("without lessons: %+v, %v", got.Layout, err)
	}
	if got.Learns(); got.Layout != (Layout{Lesson: 0.7}) {
		t.Errorf("with lessons: %+v", got.Layout)
	}
}

func TestAMissingFileGivesTheDefaultsSilently(t *testing.T) {
	got, err := LoadSettings(filepath.Join(t.TempDir(), "none.json"))
	if err != nil || !reflect.DeepEqual(got, DefaultSettings()) {
		t.Errorf("got %+v, %v", got, err)
	}
}

func TestABrokenFileGivesTheDefaultsAndAReason(t *testing.T) {
	for _, content := range []string{"", "{", "[1]", `{"width": "wide"}`, "\x00\xff"} {
		path := filepath.Join(t.TempDir(), "window.json")
		if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
		if got, err := LoadSettings(path); err == nil || !reflect.DeepEqual(got, DefaultSettings()) {
			t.Errorf("%q: got %+v, %v", content, got, err)
		}
	}
}

func TestAbsurdValuesAreBroughtIntoRange(t *testing.T) {
	path := filepath.Join(t.TempDir(), "window.json")
	if err := os.WriteFile(path, []byte(`{"width": -5, "height": 99999999, "zoom": 1e300}`), 0o600); err != nil {
		t.Fatal(err)
	}
	got, err := LoadSettings(path)
	if err != nil || got.Width != LeastWidth || got.Height != mostHeight || got.Zoom != 1 {
		t.Errorf("got %+v, %v", got, err)
	}
}

func TestRecentFilesKeepTheLatestFirstAndOnce(t *testing.T) {
	var things Settings
	for i := range 12 {
		things.Opened(Files{Routine: fmt.Sprint(i)})
	}
	things.Opened(Files{Routine: "9"})
	things.Opened(Files{})
	if len(things.Recent) != mostRecent || things.Recent[0].Routine != "9" || things.Recent[1].Routine != "11" ||
		things.Recent[2].Routine != "10" {
		t.Errorf("got %v", things.Recent)
	}
}
