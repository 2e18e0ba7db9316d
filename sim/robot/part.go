package robot

import (
	"fmt"
	"reflect"
	"strings"

	"chalkfield/internal/base/units"
)

// Kind of a mechanism: the name of its table.
type Kind string

// Part is a mechanism: its name, and exactly one table, the one of its kind. A member here makes a kind known.
type Part struct {
	Name     string `toml:"name" need:"'intake'"`
	Kind     Kind
	Intake   *Intake   `toml:"intake"`
	Conveyor *Conveyor `toml:"conveyor"`
	Clamp    *Clamp    `toml:"clamp"`
	Scorer   *Scorer   `toml:"scorer"`
	Claw     *Claw     `toml:"claw"`
	Lift     *Lift     `toml:"lift"`
	Gate     *Gate     `toml:"gate"`
}

// Mechanism is what a part's table does. Its kind has a file here, in sim, in scripting and in render/scene.
type Mechanism interface {
	read(r *reader, path string)      // completes it, and notes what is wrong
	Note(*Robot, units.System) string // what it can do, in words behind its kind's
}

// Spec is the table that the part has, nil for none.
func (p Part) Spec() Mechanism { return only(given[Mechanism](mechanisms, p)) }

// mechanisms and devices are the kinds of parts and of sensors; they are never written.
var mechanisms, devices = tables[Mechanism](Part{}), tables[Device](Sensor{})

// tables are the members of a struct that stand for the kinds of a thing, each a pointer to a table of the file.
func tables[T any](of any) (all []reflect.StructField) {
	for _, m := range reflect.VisibleFields(reflect.TypeOf(of)) {
		switch {
		case m.Type.Implements(reflect.TypeFor[T]()):
			all = append(all, m)
		case m.Type.Kind() == reflect.Pointer: // else its kind would be unknown, and nobody told
			panic(m.Name + " is no " + reflect.TypeFor[T]().Name())
		}
	}
	return all
}

// given are those of the tables that the file has, by name.
func given[T any](tables []reflect.StructField, of any) (names []string, found []T) {
	for _, m := range tables {
		if v := reflect.ValueOf(of).FieldByIndex(m.Index); !v.IsNil() {
			names, found = append(names, m.Tag.Get("toml")), append(found, v.Interface().(T))
		}
	}
	return names, found
}

// only is the one table there should be.
func only[T any](_ []string, found []T) (table T) {
	if len(found) > 0 {
		table = found[0]
	}
	return table
}

// choice lists the tables that a thing may have, as a file has them.
func choice(list string, tables []reflect.StructField) string {
	var all []string
	for _, m := range tables {
		all = append(all, "["+list+"."+m.Tag.Get("toml")+"]")
	}
	last := len(all) - 1
	return strings.Join(all[:last], ", ") + " or " + all[last]
}

// maxParts and maxSensors are far beyond any real robot, and keep a broken file from filling the memory.
const (
	maxParts   = 40
	maxSensors = 60
)

func (r *reader) readParts() {
	parts := r.out.Parts
	if n := len(parts); n > maxParts {
		r.at.Errorf("parts", "%d parts are more than the %d a robot may have", n, maxParts)
		return
	}
	var names []string
	for i := range parts { // names and kinds first: parts refer to each other in any order
		p := fmt.Sprintf("parts[%d]", i)
		r.name(p+".name", "part", parts[i].Name, names)
		names = append(names, parts[i].Name)
		parts[i].Kind = r.kind(p, parts[i])
	}
	for i, part := range parts {
		if part.Kind != "" {
			part.Spec().read(r, fmt.Sprintf("parts[%d].%s", i, part.Kind))
		}
	}
}

// kind is that of the one table that a part has.
func (r *reader) kind(path string, p Part) Kind {
	found, _ := given[Mechanism](mechanisms, p)
	switch len(found) {
	case 0:
		r.at.Errorf(path, "this part has no kind: give it a table %s", choice("parts", mechanisms))
		return ""
	case 1:
	default:
		r.at.Errorf(path, "a part is of one kind, but this one has the tables %v: begin another [[parts]] for the second",
			found)
	}
	return Kind(found[0])
}

// carrier is the lift that a part rides on: only the one it names.
func (r *reader) carrier(path string) int {
	if r.at.Text(path) == "" {
		return -1
	}
	return r.part(path, KindLift, false)
}
