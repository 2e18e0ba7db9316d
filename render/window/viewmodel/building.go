package viewmodel

import (
	"os"
	"path/filepath"
	"strings"

	"chalkfield/internal/app/build"
)

// Build is the mode in which a field is made.
const Build Mode = "build"

// Board is the file that is being built, nil while none is.
func (d *Model) Board() *build.Board { return d.board }

// BeginBuild puts a field file on the board. What is shown otherwise stands still meanwhile.
func (d *Model) BeginBuild(path string) error {
	board, err := build.Open(path, build.Field{})
	if err != nil {
		return err
	}
	d.board, d.Mode, d.Playing = board, Build, false
	return nil
}

// EndBuild goes back to watching what is rehearsed on the field that was built: of the routine in hand, or of the one
// beside the field.
func (d *Model) EndBuild() {
	if d.board == nil {
		return
	}
	path := d.board.Path()
	d.board, d.Mode = nil, Watch
	d.Files.Field = path
	if beside := filepath.Join(filepath.Dir(path), "routine.lua"); d.Files.Routine == "" && d.Files.Record == "" {
		if _, err := os.Stat(beside); err == nil {
			d.Files.Routine = beside
		}
	}
}

// FieldFile is the field's own file, "" where it comes with the program or is inside a record.
func (d *Model) FieldFile() string {
	if strings.HasSuffix(d.Files.Field, ".toml") {
		return d.Files.Field
	}
	for _, path := range d.Watch {
		if _, err := os.Stat(path); err == nil && d.Files.Record == "" && filepath.Base(path) == "field.toml" {
			return path
		}
	}
	return ""
}
