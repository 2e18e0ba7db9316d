package window

import (
	"os"
	"path/filepath"
	"testing"
	"time"
)

// waitChanged gives the system a minute to tell.
func waitChanged(w *watcher) bool {
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		if w.changed() {
			return true
		}
	}
	return false
}

func watched(t *testing.T, names ...string) (*watcher, string) {
	t.Helper()
	folder := t.TempDir()
	var paths []string
	for _, name := range names {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte("one"), 0o600); err != nil {
			t.Fatal(err)
		}
		paths = append(paths, path)
	}
	w := newWatcher(func(text string) { t.Skip("WATCH TEST SKIPPED: ", text) }, func() {})
	t.Cleanup(w.close)
	w.follow(paths)
	return w, folder
}

func TestASaveIsSeenHoweverTheEditorWrites(t *testing.T) {
	for name, save := range map[string]func(path string) error{
		"in place": func(path string) error { return os.WriteFile(path, []byte("another"), 0o600) },
		"renamed onto it": func(path string) error {
			if err := os.WriteFile(path+"~", []byte("another"), 0o600); err != nil {
				return err
			}
			return os.Rename(path+"~", path)
		},
		"removed and written": func(path string) error {
			if err := os.Remove(path); err != nil {
				return err
			}
			return os.WriteFile(path, []byte("another"), 0o600)
		},
	} {
		t.Run(name, func(t *testing.T) {
			w, folder := watched(t, "a.lua")
			for round := range 2 { // it is seen again after being taken up
				time.Sleep(5 * time.Millisecond) // so that the times differ
				if err := save(filepath.Join(folder, "a.lua")); err != nil {
					t.Fatal(err)
				}
				if !waitChanged(w) {
					t.Fatalf("round %d: not seen", round)
				}
				w.follow(w.files)
			}
		})
	}
}

func TestAnotherFileOfTheFolderIsNotAChange(t *testing.T) {
	w, folder := watched(t, "a.lua")
	if err := os.WriteFile(filepath.Join(folder, "b.lua"), []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	for range 40 {
		time.Sleep(5 * time.Millisecond)
		if w.changed() {
			t.Fatal("b.lua counted as a change of a.lua")
		}
	}
}

// A log or a state file in the same folder that is written all the time must not put the look off for ever.
func TestASaveIsSeenInABusyFolder(t *testing.T) {
	w, folder := watched(t, "a.lua")
	stop := make(chan struct{})
	done := make(chan struct{})
	go func() {
		defer close(done)
		for i := 0; ; i++ {
			select {
			case <-stop:
				return
			default:
				_ = os.WriteFile(filepath.Join(folder, "log.txt"), []byte{byte(i)}, 0o600) // noise only
				time.Sleep(time.Millisecond)
			}
		}
	}()
	defer func() { close(stop); <-done }()
	if err := os.WriteFile(filepath.Join(folder, "a.lua"), []byte("another"), 0o600); err != nil {
		t.Fatal(err)
	}
	if !waitChanged(w) {
		t.Fatal("not seen")
	}
}
