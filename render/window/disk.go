package window

import (
	"cmp"
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/assets"
	"chalkfield/render/window/viewmodel"
)

// disk is what the window has to do with files: which are open, watched and remembered, and those it writes.
type disk struct {
	*shared
	watch *watcher
	path  string    // of the memory, "" for none
	err   io.Writer // notes that have no place in the window
	shot  string    // a picture of the window is wanted in this file
}

// start reads the files that the window opens with.
func (d *disk) start() {
	files := d.model.Files
	d.reload()
	if files.Record == "" || d.model.Now != nil {
		d.opened(files)
	} else {
		d.forget(files)
	}
}

// reload reads the files again and watches what they now need.
func (d *disk) reload() {
	d.model.Reload()
	d.watch.follow(d.model.Watch)
}

// again rehearses anew: the files as they are by now, or what is in the record.
func (d *disk) again() {
	if d.model.Files.Record == "" || d.model.Now == nil {
		d.reload()
		return
	}
	switch {
	case len(d.model.Unstarted()) == 0:
		d.model.Rehearse()
	case d.model.MustAsk():
		d.showStartProgram()
	default:
		d.model.StartPrograms()
	}
}

// open opens a file and watches what stands behind it now.
func (d *disk) open(path string) {
	worth := d.model.Open(path)
	d.watch.follow(d.model.Watch)
	files := d.model.Files
	if strings.EqualFold(filepath.Ext(path), ".jsonl") {
		files = viewmodel.Files{Record: path}
	}
	switch {
	case worth:
		d.opened(files)
	case files.Record != "":
		d.forget(files)
	}
}

func (d *disk) openFiles(files viewmodel.Files) {
	if files.Record != "" {
		d.open(files.Record)
		return
	}
	d.exchanged(func() { d.model.Exchange(files) })
}

// exchanged opens other files, watches what stands behind them and remembers them.
func (d *disk) exchanged(open func()) {
	open()
	d.watch.follow(d.model.Watch)
	d.opened(d.model.Files)
}

// opened remembers files by where they are, because the next start may be from another folder. A routine that is not
// there is not remembered.
func (d *disk) opened(files viewmodel.Files) {
	if strings.HasSuffix(files.Routine, ".lua") {
		if _, err := os.Stat(files.Routine); err != nil {
			d.forget(files)
			return
		}
	}
	d.memory.Opened(whereabouts(files))
	_ = d.keep() // soon, because the program may be ended from outside; what fails is told when the window closes
}

// forget takes files that could not be opened off the list of those that were.
func (d *disk) forget(files viewmodel.Files) {
	d.memory.Forget(files)
	d.memory.Forget(whereabouts(files))
	_ = d.keep()
}

// whereabouts are files with their whole paths.
func whereabouts(files viewmodel.Files) viewmodel.Files {
	for _, path := range []*string{&files.Routine, &files.Robot, &files.Field, &files.Record} {
		if _, err := os.Stat(*path); err == nil { // not an embedded one, or one that is not there
			*path = absolute(*path)
		}
	}
	return files
}

func absolute(path string) string {
	if full, err := filepath.Abs(path); err == nil {
		return full
	}
	return path
}

// keep writes the memory.
func (d *disk) keep() error {
	if d.path == "" {
		return nil
	}
	return d.memory.Save(d.path)
}

// remember writes the memory at the end; a failure is told on stderr, because the window is gone.
func (d *disk) remember() {
	if err := d.keep(); err != nil {
		fmt.Fprintf(d.err, "chalkfield: the window's settings were not kept: %v\n", err)
	}
}

// travel undoes or does again. What it wrote itself is not news to the watcher.
func (d *disk) travel(along func(*viewmodel.Model) bool) {
	if along(d.model) {
		d.watch.follow(d.model.Watch)
	}
}

// takeDropped opens files dropped on the window.
func (d *disk) takeDropped() {
	if d.hand.Dropped == nil {
		return
	}
	entries, err := fs.ReadDir(d.hand.Dropped, ".")
	if err != nil || len(entries) == 0 {
		d.model.Warn("What was dropped could not be read.")
		return
	}
	for _, entry := range entries {
		if at, ok := entry.(ebiten.AbsPather); ok {
			d.open(at.AbsPath())
		}
	}
}

// showWriteStart asks before the routine's file is changed.
func (d *disk) showWriteStart() {
	change, err := d.model.StartChange()
	if err != nil {
		d.model.Warn("Not written: " + err.Error() + ".")
		return
	}
	d.show(&card{name: "write start", title: "Write the start into " + change.Name + "?",
		foot: "Enter chooses, Esc leaves the file as it is.", rows: func() []cardRow {
			return []cardRow{
				{label: "now: start = " + change.Old},
				{label: "then: start = " + change.New},
				{label: "Leave the file as it is", do: func() { d.model.Say("The file was left as it is.") }},
				{label: "Write it", do: func() { d.writeStart(change) }},
			}
		}})
}

// save asks to write what was changed: a moved start into the routine, or else the run shown as a record.
func (d *disk) save() {
	if _, err := d.model.StartChange(); err == nil {
		d.showWriteStart()
		return
	}
	d.showKeep()
}

func (d *disk) writeStart(change viewmodel.Edit) {
	if err := change.Write(); err != nil {
		d.model.Warn("Not written: " + err.Error())
		return
	}
	d.model.StartWritten(change)
	d.reload()
}

// showCopy asks whether a routine that comes with the program is to be copied with what is tried of it.
func (d *disk) showCopy() {
	source := d.model.Source()
	path := d.newName(strings.TrimSuffix(source.Name, ".lua")+"_", ".lua")
	if path == "" {
		return
	}
	write := func() {
		if d.writeFile(path, source.Text) {
			d.exchanged(func() { d.model.Continue(d.beside(path)) })
		}
	}
	d.show(&card{name: "copy", title: source.Name + " comes with the program. Write it as a file of your own?",
		foot: "Enter chooses, Esc puts the number back.", rows: func() []cardRow {
			return []cardRow{
				{label: "folder: " + filepath.Dir(path)},
				{label: "Write " + filepath.Base(path) + " with the new number, and open it", note: "a new file", do: write},
				{label: "Put the number back", do: func() {}},
			}
		}})
}

// beside are the files that are open, with another routine: on the same field, with the same robot.
func (d *disk) beside(path string) viewmodel.Files {
	files := d.model.Files
	if d.model.Text.Path == "" {
		field, robot := assets.RoutineHome(files.Routine)
		files.Field, files.Robot = cmp.Or(files.Field, field), cmp.Or(files.Robot, robot)
	}
	files.Routine = path
	return files
}

// showKeep asks before the run shown is kept as a record, and names the file.
func (d *disk) showKeep() {
	if d.model.Now == nil || d.model.Driving() {
		d.model.Say("There is no finished run to keep.")
		return
	}
	path, run := d.newName("record_", ".jsonl"), d.model.Now
	if path == "" {
		return
	}
	d.show(&card{name: "keep", title: "Keep the run shown as a record?", foot: "Enter chooses, Esc writes nothing.",
		rows: func() []cardRow {
			return []cardRow{
				{label: "folder: " + filepath.Dir(path)},
				{label: "Write " + filepath.Base(path), note: "a new file", do: func() { d.writeNamed(path, run.Record.Write) }},
				{label: "Write nothing", do: func() { d.model.Say("Nothing was written.") }},
			}
		}})
}

// saveAs writes a file under the next free name beside the routine.
func (d *disk) saveAs(stem, ending string, fill func(io.Writer) error) {
	if path := d.newName(stem, ending); path != "" {
		d.writeNamed(path, fill)
	}
}

// newName is the next free name beside the routine; "": there is none, which is told.
func (d *disk) newName(stem, ending string) string {
	path, err := freeName(d.model.Folder(), stem, ending)
	if err != nil {
		d.model.Warn("Not written: " + err.Error())
		return ""
	}
	return absolute(path)
}

// writeNamed writes a new file, and reports whether it is there; one that has come to be there meanwhile is left alone.
func (d *disk) writeNamed(path string, fill func(io.Writer) error) bool {
	if err := writeNew(path, fill); err != nil {
		d.model.Warn("Not written: " + err.Error())
		return false
	}
	d.model.Say("Wrote " + path)
	return true
}

// wantShot asks for a picture of the window at the next Draw.
func (d *disk) wantShot() {
	d.shot = d.newName("chalkfield_", ".png")
}

// saveShot writes what was just drawn.
func (d *disk) saveShot(screen *ebiten.Image) {
	picture := image.NewRGBA(screen.Bounds())
	screen.ReadPixels(picture.Pix)
	d.writeNamed(d.shot, func(out io.Writer) error { return png.Encode(out, picture) })
	d.shot, d.stale = "", true
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
