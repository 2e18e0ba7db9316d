package window

import (
	"os"
	"path/filepath"
	"sort"
	"strings"

	"chalkfield/render/window/desk"
)

// showOpen lists the last files and a folder's; letters narrow the list.
func (g *game) showOpen() {
	folder, err := filepath.Abs(g.folder())
	if err != nil {
		folder = g.folder()
	}
	g.showFolder(folder, true)
}

func (g *game) showFolder(folder string, recent bool) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		g.desk.Warn(err.Error())
		return
	}
	var rows []cardRow
	if recent && len(g.memory.Recent) > 0 {
		rows = append(rows, cardRow{label: "Opened before", head: true})
		for _, files := range g.memory.Recent {
			rows = append(rows, cardRow{label: filesWords(files), do: func() { g.openFiles(files) }})
		}
	}
	rows = append(rows, cardRow{label: folder, head: true}, cardRow{label: "..", note: "folder above", keeps: true, do: func() { g.showFolder(filepath.Dir(folder), false) }})
	rows = append(rows, g.folderRows(folder, entries)...)
	g.show(&card{
		name: "open", title: "Open", typed: true, rows: func() []cardRow { return rows },
		foot: "Enter opens, letters narrow the list, Esc closes. A file can also be dropped on the window.",
	})
}

// folderRows lists folders, then the files that the window reads.
func (g *game) folderRows(folder string, entries []os.DirEntry) []cardRow {
	var folders, files []cardRow
	for _, e := range entries {
		path := filepath.Join(folder, e.Name())
		switch {
		case strings.HasPrefix(e.Name(), "."):
		case e.IsDir():
			folders = append(folders, cardRow{label: e.Name() + string(filepath.Separator), note: "folder", keeps: true, do: func() { g.showFolder(path, false) }})
		case fileWords[filepath.Ext(e.Name())] != "":
			files = append(files, cardRow{label: e.Name(), note: fileWords[filepath.Ext(e.Name())], on: path == g.desk.Files.Routine, do: func() { g.open(path) }})
		}
	}
	for _, list := range [][]cardRow{folders, files} {
		sort.SliceStable(list, func(i, j int) bool { return list[i].label < list[j].label })
	}
	return append(folders, files...)
}

var fileWords = map[string]string{".lua": "routine", ".toml": "robot or field", ".jsonl": "record"}

func filesWords(f desk.Files) string {
	words := firstOf(f.Routine, "the demo's routine")
	if f.Robot != "" {
		words += ", " + filepath.Base(f.Robot)
	}
	if f.Field != "" {
		words += ", " + filepath.Base(f.Field)
	}
	return words
}

func (g *game) openFiles(files desk.Files) {
	g.desk.Exchange(files)
	g.watch.follow(g.desk.Watch)
	g.opened(files)
	g.follow = true
}
