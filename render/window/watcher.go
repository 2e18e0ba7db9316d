package window

import (
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/fsnotify/fsnotify"
)

// watcher notices that a file was saved. Editors write a file in many ways (in place, or a new one renamed onto it), so
// it watches the folders and looks at what the files are.
type watcher struct {
	notes   *fsnotify.Watcher // nil: no watching on this machine
	folders []string
	files   []string
	seen    map[string]stamp
	due     time.Time // when to look, zero: nothing happened
}

// stamp tells one content of a file from another.
type stamp struct {
	size int64
	time time.Time
}

// settle is how long after the last sign of a change the files are looked at: an editor may need several steps to save.
const settle = 60 * time.Millisecond

func newWatcher(warn func(string)) *watcher {
	notes, err := fsnotify.NewWatcher()
	if err != nil {
		warn("Files are not watched: " + err.Error() + ". Press R after saving.")
		return &watcher{}
	}
	return &watcher{notes: notes}
}

// follow watches these files from now on.
func (w *watcher) follow(files []string) {
	w.files, w.seen = slices.Clone(files), map[string]stamp{}
	var folders []string
	for _, file := range files {
		w.seen[file] = stampOf(file)
		if folder := filepath.Dir(file); !slices.Contains(folders, folder) {
			folders = append(folders, folder)
		}
	}
	if w.notes == nil {
		return
	}
	for _, old := range w.folders {
		if !slices.Contains(folders, old) {
			_ = w.notes.Remove(old) // the folder may be gone, and then so is the watch
		}
	}
	w.folders = w.folders[:0]
	for _, folder := range folders {
		if w.notes.Add(folder) == nil {
			w.folders = append(w.folders, folder)
		}
	}
}

func stampOf(file string) stamp {
	info, err := os.Stat(file)
	if err != nil {
		return stamp{}
	}
	return stamp{info.Size(), info.ModTime()}
}

// changed reports once that one of the files is another than before.
func (w *watcher) changed() bool {
	if w.notes == nil {
		return false
	}
	for {
		select {
		case <-w.notes.Events:
			w.due = time.Now().Add(settle)
			continue
		case <-w.notes.Errors: // events were lost: look at the files
			w.due = time.Now().Add(settle)
			continue
		default:
		}
		break
	}
	if w.due.IsZero() || time.Now().Before(w.due) {
		return false
	}
	w.due = time.Time{}
	for _, file := range w.files {
		if stampOf(file) != w.seen[file] {
			return true
		}
	}
	return false
}

func (w *watcher) close() {
	if w.notes != nil {
		_ = w.notes.Close() // nothing is written through it
	}
}
