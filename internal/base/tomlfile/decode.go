// Package tomlfile reads the TOML files that users write, strictly: an unknown key, a value of the wrong type or a
// missing unit is an error with file, line, column and what to write instead. All errors of a stage come at once: first
// the grammar's, of which there is one, then all of keys, types and units, then all that the caller finds.
//
// A file is decoded straight into the struct that the program works with, one struct a table. Its members carry tags;
// one without the tag toml is no key of the file.
//
//	Tile   float64    `toml:"tile" unit:"m" need:"'600 mm'"`  // must be given; an example for the message
//	Grip   float64    `toml:"grip" default:"1"`               // may be left out
//	Air    *Air       `toml:"air"`                            // may be left out: nil
//	Reach  float64    `toml:"reach" unit:"m" min:"1 mm" max:"2 m"` // the range of what a file may give: see limits
//	Shape  []geom.Vec `toml:"shape" unit:"m"`                 // places
//	Exit   geom.Pose  `toml:"exit,direction" unit:"m"`        // two keys, a place and a direction
//	Train  Train      `toml:"train" words:"left, right"`      // one of some words; a whole number: its place
//	Motor  int        `toml:"motor" refer:"motor"`            // named in the file, -1 until Refer has found it
//	Worth  string     `toml:"points"`                         // of a key that is a number above: a text in its place
//
// A value with a unit is kept in the SI unit that its tag names.
//
// What the types and tags cannot say is checked by the caller, who names the wrong value by its path:
//
//	at, err := tomlfile.Decode(name, data, &field)
//	if err != nil { return nil, err }
//	if field.Tile <= 0 { at.Errorf("tile", "must be more than 0: write \"600 mm\"") }
//	return field, at.Err()
package tomlfile

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"strings"

	"chalkfield/internal/base/atomicfile"

	"github.com/pelletier/go-toml/v2"
)

// ReadFile reads a user's file that Decode may take.
func ReadFile(path string) ([]byte, error) { return atomicfile.Read(path, atomicfile.TOML) }

// Decode reads a TOML document into the struct that into points to. The error, if any, is an *Errors. The positions
// serve to report what is found wrong later.
func Decode(name string, data []byte, into any) (*Positions, error) {
	at, err := DecodeLoosely(name, data, into)
	if err == nil {
		err = at.Err()
	}
	if err != nil {
		return nil, err
	}
	return at, nil
}

// DecodeLoosely is Decode for a document that is not whole yet: what can be read of it is. The error is of what is no
// TOML; all else is noted.
func DecodeLoosely(name string, data []byte, into any) (*Positions, error) {
	root, err := parse(name, data, reflect.TypeOf(into).Elem())
	if err != nil {
		return nil, err
	}
	at := newPositions(name, data, root)
	at.putTable("", root, reflect.ValueOf(into).Elem())
	return at, nil
}

// parse finds what is wrong with the document before its meaning (grammar, keys given twice) and gives its tree. The
// type is the one that it will be decoded into.
func parse(name string, data []byte, t reflect.Type) (root *node, err error) {
	defer recovered(name, &err)
	if most := atomicfile.TOML.Most; int64(len(data)) > most {
		return nil, whole(name, 1, 1, fmt.Sprintf("the file is too large: write one of at most %d bytes", most))
	}
	var anything map[string]any
	if err := toml.Unmarshal(data, &anything); err != nil {
		return nil, positioned(name, data, t, err)
	}
	root, err = tree(data)
	if err != nil {
		return nil, positioned(name, data, t, err)
	}
	return root, nil
}

// recovered turns a panic of the TOML library into an error: a mistake in a parser is no reason for a crash.
func recovered(name string, err *error) {
	if r := recover(); r != nil {
		*err = whole(name, 1, 1, fmt.Sprintf("this file cannot be read as TOML (%v)", r))
	}
}

// positioned turns go-toml's error into ours.
func positioned(name string, data []byte, t reflect.Type, err error) error {
	var de *toml.DecodeError
	if !errors.As(err, &de) {
		return whole(name, 1, 1, strings.TrimPrefix(err.Error(), "toml: "))
	}
	line, column := de.Position() // the column in bytes
	start := 0
	for range line - 1 {
		start += bytes.IndexByte(data[start:], '\n') + 1
	}
	at := start + column - 1
	text := lineAt(data, start)
	what := broken{strings.TrimPrefix(de.Error(), "toml: "), text, at - start, de.Key(), t}.plainly()
	line, column = lineColumn(data, at)
	return &Errors{List: []*Error{{name, line, column, strings.Join(de.Key(), "."), what}},
		Excerpt: excerpt(line, text, column)}
}

func lineAt(data []byte, start int) string {
	line, _, _ := bytes.Cut(data[min(start, len(data)):], []byte("\n"))
	return strings.TrimSuffix(string(line), "\r")
}

func whole(name string, line, column int, what string) error {
	return &Errors{List: []*Error{{File: name, Line: line, Column: column, What: what}}}
}
