package window

import (
	"io"
	"path/filepath"
	"strings"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
)

// showNew asks for which field a new, empty routine is to be written.
func (d *disk) showNew() {
	path := d.newName("routine_", ".lua")
	if path == "" {
		return
	}
	title := strings.TrimSuffix(filepath.Base(path), ".lua")
	rows := []cardRow{{label: "folder: " + filepath.Dir(path)}}
	if text, ok := d.model.NewRoutine(title); ok {
		rows = append(rows, cardRow{label: "on the field shown, for the robot shown", note: "a new file",
			do: func() { d.writeRoutine(path, text, d.beside(path)) }})
	}
	for _, field := range fields.Embedded() {
		if text, robot, ok := firstOn(field, title); ok {
			rows = append(rows, cardRow{label: "on " + field + ", for " + robot, note: "a new file",
				do: func() { d.writeRoutine(path, text, viewmodel.Files{Routine: path, Field: field, Robot: robot}) }})
		}
	}
	rows = append(rows, cardRow{label: "Write nothing", do: func() { d.model.Say("Nothing was written.") }})
	d.show(&card{name: "new", title: "Write " + filepath.Base(path) + ", an empty routine?",
		foot: "Enter chooses, Esc writes nothing. For another robot or field of yours open that first (O).",
		rows: func() []cardRow { return rows }})
}

// firstOn is an empty routine that starts where one that comes with the program does on its field, and its robot.
func firstOn(field, title string) (text, robot string, ok bool) {
	for _, name := range assets.RoutineNames() {
		home, robot := assets.RoutineHome(name)
		if home != field {
			continue
		}
		if other, err := scripting.LoadFS(assets.Routines, name+".lua"); err == nil {
			text, ok = viewmodel.RoutineLike(title, other)
			return text, robot, ok
		}
	}
	return "", "", false
}

// writeRoutine writes a new routine and opens it.
func (d *disk) writeRoutine(path, text string, files viewmodel.Files) {
	if d.writeFile(path, text) {
		d.openFiles(files)
		d.model.Pause()
	}
}

// writeFile writes a new file. It reports whether that is done.
func (d *disk) writeFile(path, text string) bool {
	err := writeNew(path, func(out io.Writer) error {
		_, err := io.WriteString(out, text)
		return err
	})
	if err != nil {
		d.model.Warn("Not written: " + err.Error())
	}
	return err == nil
}
