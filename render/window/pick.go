package window

import (
	"os"
	"path/filepath"

	"chalkfield/assets"
)

// robotFiles are what another robot can be, by the endings of their names.
var robotFiles = map[string]string{".lua": "routine", ".jsonl": "record", ".csv": "log"}

// pick lists files of the routine's folder and the embedded routines; what is chosen is taken.
func (d *disk) pick(title string, kinds map[string]string, take func(path string)) {
	folder, err := filepath.Abs(d.model.Folder())
	if err != nil {
		folder = d.model.Folder()
	}
	d.pickIn(folder, title, kinds, take)
}

func (d *disk) pickIn(folder, title string, kinds map[string]string, take func(path string)) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		d.model.Warn(err.Error())
		return
	}
	rows := []cardRow{{label: folder, head: true}, {label: "..", note: "folder above", keeps: true,
		do: func() { d.pickIn(filepath.Dir(folder), title, kinds, take) }}}
	rows = append(rows, d.folderRows(folder, entries, kinds, take,
		func(path string) { d.pickIn(path, title, kinds, take) })...)
	if kinds[".lua"] != "" {
		rows = append(rows, cardRow{label: "Embedded routines", head: true})
		for _, name := range assets.RoutineNames() {
			rows = append(rows, cardRow{label: name, note: "routine", do: func() { take(name) }})
		}
	}
	d.show(&card{name: "pick", title: title, typed: true, rows: func() []cardRow { return rows },
		foot: "Enter chooses, letters narrow the list, Esc closes."})
}
