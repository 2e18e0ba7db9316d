package window

import (
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"github.com/fsnotify/fsnotify"
)

// watcher notices that a file was saved. Editors write a file in many ways (in place, or a new one renamed onto it), so
// it watches the folders and looks at what the files are.
type watcher struct {
	notes   *fsnotify.Watcher // nil: no watching on this machine
	told    chan struct{}     // something happened to one of the files
	tell    func()            // and somebody is to look
	folders []string
	files   []string
	seen    map[string]stamp
	due     time.Time // when to look, zero: nothing happened

	lock  sync.Mutex
	names []string // of the files, for the goroutine that listens
}

// stamp tells one content of a file from another.
type stamp struct {
	size int64
	time time.Time
}

// settle is how long after the first sign of a change the files are looked at: an editor may need several steps to
// save.
const settle = 60 * time.Millisecond

func newWatcher(warn func(string), tell func()) *watcher {
	notes, err := fsnotify.NewWatcher()
	if err != nil {
		warn("Files are not watched: " + err.Error() + ". Press R after saving.")
		return &watcher{}
	}
	w := &watcher{notes: notes, told: make(chan struct{}, 1), tell: tell}
	go w.listen()
	return w
}

// listen takes every note at once, because a folder may be busy with other files, and passes on those about ours. It
// ends when the notes are closed.
func (w *watcher) listen() {
	for {
		select {
		case note, open := <-w.notes.Events:
			if !open {
				return
			}
			if !w.concerns(filepath.Base(note.Name)) {
				continue
			}
		case _, open := <-w.notes.Errors: // notes were lost: the files are looked at
			if !open {
				return
			}
		}
		select {
		case w.told <- struct{}{}:
			w.tell()
		default: // it is known already
		}
	}
}

func (w *watcher) concerns(name string) bool {
	w.lock.Lock()
	defer w.lock.Unlock()
	return slices.Contains(w.names, name)
}

// follow watches these files from now on.
func (w *watcher) follow(files []string) {
	w.files, w.seen = slices.Clone(files), map[string]stamp{}
	var folders, names []string
	for _, file := range files {
		w.seen[file] = stampOf(file)
		names = append(names, filepath.Base(file))
		if folder := filepath.Dir(file); !slices.Contains(folders, folder) {
			folders = append(folders, folder)
		}
	}
	w.lock.Lock()
	w.names = names
	w.lock.Unlock()
	if w.notes != nil {
		w.watchFolders(folders)
	}
}

func (w *watcher) watchFolders(folders []string) {
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
	select {
	case <-w.told:
		if w.due.IsZero() {
			w.due = time.Now().Add(settle)
		}
	default:
	}
	if w.due.IsZero() || time.Now().Before(w.due) {
		return false
	}
	w.due = time.Time{}
	return slices.ContainsFunc(w.files, func(file string) bool { return stampOf(file) != w.seen[file] })
}

func (w *watcher) close() {
	if w.notes != nil {
		_ = w.notes.Close() // nothing is written through it
	}
}
