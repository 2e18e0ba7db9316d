package rehearse

import (
	"fmt"
	"path/filepath"
	"strings"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// Origin is what a record was made from, as far as the files are found: in the program, beside the record, here.
type Origin struct {
	Field  *fields.Field  // unchanged since
	Robots []*robot.Robot // one for each robot of the record, unchanged since; none where one of them is not found

	// Names of embedded files, or paths, of the field and the first robot; "" for one that is not found.
	FieldPlace, RobotPlace, RoutinePlace string
	RoutineChanged                       bool // the routine is another by now
}

// Trace finds what a record was made from. The error says that its field is not there; the rest may be.
func Trace(path string, rec *record.Record) (Origin, error) {
	var o Origin
	o.Field, o.FieldPlace = FieldOf(path, rec.Header.Field)
	for i, robot := range rec.Header.Robots {
		found, place := traceRobot(path, robot.File)
		if i == 0 {
			o.RobotPlace = place
			o.traceRoutine(path, robot.Routine)
		}
		if found != nil {
			o.Robots = append(o.Robots, found)
		}
	}
	if len(o.Robots) < len(rec.Header.Robots) {
		o.Robots = nil
	}
	if o.Field == nil {
		return o, fmt.Errorf("the record was made on the field %s; that file, unchanged, is neither embedded nor here nor beside the record", rec.Header.Field.Name)
	}
	return o, nil
}

// Setup is as much of the rehearsal as a picture of the record needs. Robots that are not found are drawn without their mechanisms.
func (o Origin) Setup() Setup {
	setup := Setup{Field: o.Field}
	for _, robot := range o.Robots {
		setup.Entrants = append(setup.Entrants, Entrant{Robot: robot})
	}
	return setup
}

// FieldOf finds the field that a file at path was made on, unchanged since: in the program, beside that file, here. place is its
// embedded name or its path. Without one field is nil.
func FieldOf(path string, file record.File) (field *fields.Field, place string) {
	for _, place := range placesOf(path, file) {
		if field, err := fields.Find(place); err == nil && field.SHA256 == file.SHA256 {
			return field, place
		}
	}
	return nil, ""
}

func traceRobot(path string, file record.File) (*robot.Robot, string) {
	for _, place := range placesOf(path, file) {
		if robot, err := robot.Find(place); err == nil && robot.SHA256 == file.SHA256 {
			return robot, place
		}
	}
	return nil, ""
}

// traceRoutine finds the routine as it was, else one of its name beside the record or here, which a person has worked on since.
func (o *Origin) traceRoutine(path string, file record.File) {
	if file.Name == "" {
		return
	}
	for _, place := range placesOf(path, file) {
		program, err := embeddedOrFile(place)
		switch {
		case err != nil:
		case program.SHA256 == file.SHA256:
			o.RoutinePlace, o.RoutineChanged = place, false
			return
		case o.RoutinePlace == "" && !assets.HasRoutine(place):
			o.RoutinePlace, o.RoutineChanged = place, true
		}
	}
}

func embeddedOrFile(place string) (*scripting.Program, error) {
	if assets.HasRoutine(place) {
		return scripting.LoadFS(assets.Routines, place+".lua")
	}
	return scripting.Load(place)
}

// placesOf are where a file of a record may be.
func placesOf(path string, file record.File) []string {
	name := filepath.Base(file.Name) // a record cannot send us elsewhere
	return []string{strings.TrimSuffix(name, filepath.Ext(name)), filepath.Join(filepath.Dir(path), name), name}
}
