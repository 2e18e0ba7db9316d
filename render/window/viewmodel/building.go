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

// BeginBuild puts a field or robot file on the board. What is shown otherwise stands still meanwhile.
func (d *Model) BeginBuild(path string) error {
	board, err := build.Begin(path, d.Setup.Field)
	if err != nil {
		return err
	}
	if before := d.built[path]; before != nil {
		board.Resume(before)
	}
	d.board, d.Mode, d.Playing = board, Build, false
	return nil
}

// EndBuild goes back to watching what is rehearsed with what was built: of the routine in hand, or of the one beside
// it.
func (d *Model) EndBuild() {
	if d.board == nil {
		return
	}
	path, ofRobot := d.board.Path(), d.board.Sheet().Robot != nil
	if d.built == nil {
		d.built = map[string]*build.Board{}
	}
	d.board.Drop()
	d.built[path] = d.board
	d.board, d.Mode = nil, Watch
	if ofRobot {
		d.Files.Robot = path
	} else {
		d.Files.Field = path
	}
	if beside := filepath.Join(filepath.Dir(path), "routine.lua"); d.Files.Routine == "" && d.Files.Record == "" {
		if _, err := os.Stat(beside); err == nil {
			d.Files.Routine = beside
		}
	}
}

// FieldFile is the field's own file, RobotFile the robot's, "" where it comes with the program or is inside a record.
func (d *Model) FieldFile() string { return d.ownFile(d.Files.Field, "field.toml") }
func (d *Model) RobotFile() string { return d.ownFile(d.Files.Robot, "robot.toml") }

func (d *Model) ownFile(named, usual string) string {
	if strings.HasSuffix(named, ".toml") {
		return named
	}
	for _, path := range d.Watch {
		if _, err := os.Stat(path); err == nil && d.Files.Record == "" && filepath.Base(path) == usual {
			return path
		}
	}
	return ""
}
