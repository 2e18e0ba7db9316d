package window

import (
	"cmp"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/app/check"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// showOpen lists the last files and a folder's; letters narrow the list.
func (d *disk) showOpen() {
	folder, err := filepath.Abs(d.model.Folder())
	if err != nil {
		folder = d.model.Folder()
	}
	d.showFolder(folder, true)
}

func (d *disk) showFolder(folder string, recent bool) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		d.model.Warn(err.Error())
		return
	}
	var rows []cardRow
	if recent && len(d.memory.Recent) > 0 {
		rows = append(rows, cardRow{label: "Opened before", head: true})
		rows = append(rows, d.recentRows()...)
	}
	rows = append(rows, cardRow{label: folder, head: true},
		cardRow{label: "a new, empty routine", note: d.action("new").keyWords(), do: d.showNew},
		cardRow{label: "..", note: "folder above", keeps: true, do: func() { d.showFolder(filepath.Dir(folder), false) }})
	rows = append(rows, d.folderRows(folder, entries, fileWords, d.open,
		func(path string) { d.showFolder(path, false) })...)
	rows = append(rows, d.embeddedRows()...)
	d.show(&card{
		name: "open", title: "Open", typed: true, passes: true, rows: func() []cardRow { return rows },
		foot: "Enter opens, letters narrow the list, Esc closes. Or drop a file.",
	})
}

// recentRows lists what was opened before, each once: two entries may differ in what is not worth telling.
func (d *disk) recentRows() []cardRow {
	var rows []cardRow
	for _, files := range d.memory.Recent {
		row := cardRow{label: filesWords(files), do: func() { d.openFiles(files) }}
		if !slices.ContainsFunc(rows, func(r cardRow) bool { return r.label == row.label }) {
			rows = append(rows, row)
		}
	}
	return rows
}

// embeddedRows lists what comes with the program.
func (d *disk) embeddedRows() []cardRow {
	var rows []cardRow
	put := func(title, note string, names []string, now string, open func(string)) {
		rows = append(rows, cardRow{label: title, head: true})
		for _, name := range names {
			row := cardRow{label: name, note: note, on: name == now, do: func() { d.exchanged(func() { open(name) }) }}
			if program, err := scripting.LoadFS(assets.Routines, name+".lua"); note == "routine" && err == nil {
				row.note, row.about = program.Title, "a routine, with its own robot and field"
			}
			rows = append(rows, row)
		}
	}
	put("Embedded routines", "routine", assets.RoutineNames(), d.model.Files.Routine,
		func(name string) { d.model.Exchange(viewmodel.Files{Routine: name}) })
	put("Embedded fields", "field", fields.Embedded(), d.model.Files.Field, d.model.OpenField)
	put("Embedded robots", "robot", robot.Embedded(), d.model.Files.Robot, d.model.OpenRobot)
	return rows
}

// folderRows lists folders, then the files of some kinds: no check files, which only the command line reads.
func (d *disk) folderRows(folder string, entries []os.DirEntry, kinds map[string]string, take,
	enter func(path string)) []cardRow {
	var folders, files []cardRow
	for _, e := range entries {
		path := filepath.Join(folder, e.Name())
		switch {
		case strings.HasPrefix(e.Name(), "."), strings.HasSuffix(e.Name(), check.Suffix):
		case e.IsDir():
			folders = append(folders, cardRow{label: e.Name() + string(filepath.Separator), note: "folder", keeps: true,
				do: func() { enter(path) }})
		case kinds[filepath.Ext(e.Name())] != "":
			files = append(files, cardRow{label: e.Name(), note: kinds[filepath.Ext(e.Name())],
				on: path == d.model.Files.Routine, do: func() { take(path) }})
		}
	}
	for _, list := range [][]cardRow{folders, files} {
		sort.SliceStable(list, func(i, j int) bool { return list[i].label < list[j].label })
	}
	return append(folders, files...)
}

var fileWords = map[string]string{".lua": "routine", ".toml": "robot or field", ".jsonl": "record"}

// filesWords tells files apart: a robot and field of another folder than the routine's with theirs, the session too.
func filesWords(f viewmodel.Files) string {
	if f.Record != "" {
		return f.Record
	}
	words := cmp.Or(f.Routine, "the demo's routine")
	for _, path := range []string{f.Robot, f.Field} {
		switch {
		case path == "":
		case filepath.Dir(path) == filepath.Dir(f.Routine):
			words += ", " + filepath.Base(path)
		default:
			words += ", " + path
		}
	}
	if f.Session != "" {
		words += ", " + f.Session
	}
	return words
}
