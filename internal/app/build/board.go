// Package build is what is made in the window, without the window: a file on the board, what is drawn of it, what of it
// can be dragged, the rows in which its keys are typed, what is wrong with it, and the way back.
//
// A Subject says what kind of file it is; all else is the same for a field, a robot, or whatever comes:
//
//	type Subject interface {
//		Format() reflect.Type                             // the struct that the file is decoded into, for the rows
//		Read(path string, text []byte) (*Sheet, error)    // what it shows, whole or not; the error is of no TOML
//		Addings(*Sheet) []Adding                          // what can be added, and by which gesture
//		Names(sheet *Sheet, key tomlfile.Key) []string    // what a key that names something may name
//	}
//
// A Sheet has Shapes: outlines with the path of their table ("zones[2]"), with Grips that can be dragged and a Move of
// the whole; each gives Edits of the text for a place (Set, Length, Angle, Place, Add, Take are such). Problems stand
// at the path of a key, and so at its shape. Groups are the list beside the drawing. Rows come from the struct's tags
// by themselves: unit, words, default, limits, what it names.
//
//	b, err := build.Open("my_field.toml", build.Field{})
//	b.Choose("zones[0]")                  // Rows are about it now
//	b.Try(shape.Move(by)...)              // while it is dragged: the Sheet shows it, the file stays
//	b.Keep("moved the camp")              // let go: written, whole or not at all, one step of Undo
//	b.Write(b.Rows()[1], "600 mm")        // typed
//
// Writing keeps every byte that is not of the value written, comments too. A file that was changed outside is taken as
// it is (Look), as a step that can be undone; nothing is written over what was not seen.
package build

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/units"
)

// Subject is the kind of file that is on the board.
type Subject interface {
	Format() reflect.Type
	Read(path string, text []byte) (*Sheet, error)
	Addings(*Sheet) []Adding
	Names(sheet *Sheet, key tomlfile.Key) []string
}

// Edit changes a text, or says why it cannot.
type Edit func(text []byte) ([]byte, error)

// Board is a file that is being built. One goroutine owns it.
type Board struct {
	path    string
	subject Subject
	text    []byte // as it is shown
	before  []byte // as it was before what is tried; nil: nothing is
	disk    []byte // as the file was last read or written
	sheet   *Sheet
	rows    []Row // of what is chosen; nil: to be made
	in      units.System
	chosen  string
	undo    []step
	redo    []step
}

// step is a text that was, and what was done to it.
type step struct {
	text  []byte
	words string
}

// mostSteps of undo are kept.
const mostSteps = 500

// Open puts a file on the board.
func Open(path string, subject Subject) (*Board, error) {
	data, err := tomlfile.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", path, atomicfile.Cause(err))
	}
	b := &Board{path: path, subject: subject, disk: data}
	if err := b.show(data); err != nil {
		return nil, err
	}
	return b, nil
}

// In makes rows and problems be told, and typed, in a system's units. The file keeps those that it has.
func (b *Board) In(system units.System) {
	if b.in != system {
		b.in = system
		_ = b.show(b.text) // it was shown before
	}
}

// Path is where the file is, Name what it is called, Text what stands in it with what is tried.
func (b *Board) Path() string { return b.path }
func (b *Board) Name() string { return filepath.Base(b.path) }
func (b *Board) Text() string { return string(b.text) }

// Sheet is what is drawn, as of what is tried.
func (b *Board) Sheet() *Sheet { return b.sheet }

// Addings are what can be added.
func (b *Board) Addings() []Adding { return b.subject.Addings(b.sheet) }

// show makes a text the one that is shown, where it can be read.
func (b *Board) show(text []byte) error {
	sheet, err := b.subject.Read(b.path, text)
	if err != nil {
		return err
	}
	for i := range sheet.Problems {
		sheet.Problems[i].What = b.in.Retold(sheet.Problems[i].What)
	}
	b.text, b.sheet, b.rows = text, sheet, nil
	for !b.there(b.chosen) { // taken away: the one before it, or the table that it is in
		b.chosen = before(b.chosen)
	}
	return nil
}

// before is the path of the element before one of a list; "" before the first.
func before(path string) string {
	list, number, _ := strings.Cut(strings.TrimSuffix(path, "]"), "[")
	if n, err := strconv.Atoi(number); err == nil && n > 0 {
		return fmt.Sprintf("%s[%d]", list, n-1)
	}
	return ""
}

// there reports whether the file has a path, or could.
func (b *Board) there(path string) bool {
	if !strings.HasSuffix(path, "]") {
		return tomlfile.KeysOf(b.subject.Format(), path) != nil
	}
	for _, g := range b.sheet.Groups {
		for _, item := range g.Items {
			if item.Path == path {
				return true
			}
		}
	}
	return false
}

// Choose makes the rows those of a table; "": of the head of the file.
func (b *Board) Choose(path string) {
	if b.there(path) {
		b.chosen, b.rows = path, nil
	}
}

// Chosen is the path of the table chosen.
func (b *Board) Chosen() string { return b.chosen }

// Try shows what edits would make of the text as it was before anything was tried. Nothing is written.
func (b *Board) Try(edits ...Edit) error {
	before := b.before
	if before == nil {
		before = b.text
	}
	text := before
	var err error
	for _, edit := range edits {
		if text, err = edit(text); err != nil {
			return err
		}
	}
	if err := b.show(text); err != nil {
		return err
	}
	b.before = before
	return nil
}

// Trying reports whether something is tried that would change the file.
func (b *Board) Trying() bool { return b.before != nil && !bytes.Equal(b.before, b.text) }

// Drop gives up what is tried.
func (b *Board) Drop() {
	if b.before != nil {
		_ = b.show(b.before) // it was shown before
		b.before = nil
	}
}

// Keep writes what is tried. Where that fails the file and the board are as before.
func (b *Board) Keep(words string) error {
	before := b.before
	if !b.Trying() {
		b.before = nil
		return nil
	}
	if err := b.write(b.text); err != nil {
		b.Drop()
		return err
	}
	b.before = nil
	b.undo, b.redo = kept(b.undo, step{before, words}), nil
	return nil
}

func kept(steps []step, s step) []step {
	if len(steps) >= mostSteps {
		steps = steps[1:]
	}
	return append(steps, s)
}

// Do makes edits, and writes them.
func (b *Board) Do(words string, edits ...Edit) error {
	b.Drop()
	if err := b.Try(edits...); err != nil {
		b.Drop()
		return err
	}
	return b.Keep(words)
}

// errChanged: somebody else wrote the file.
var errChanged = errors.New("the file was changed outside meanwhile: nothing was written; look at it and do it again")

// write writes a text, if the file still is as it was last seen.
func (b *Board) write(text []byte) error {
	now, err := tomlfile.ReadFile(b.path)
	if err != nil {
		return fmt.Errorf("%s: %w", b.Name(), atomicfile.Cause(err))
	}
	if !bytes.Equal(now, b.disk) {
		return errChanged
	}
	if err := atomicfile.Write(b.path, func(out io.Writer) error { _, err := out.Write(text); return err }); err != nil {
		return err
	}
	b.disk = text
	return nil
}

// Look takes the file as it is on disk, where somebody else wrote it. What is tried is dropped then; Undo brings the
// text before back. The error says why the file cannot be shown: the board keeps what it had.
func (b *Board) Look() (changed bool, err error) {
	now, err := tomlfile.ReadFile(b.path)
	if err != nil {
		return false, fmt.Errorf("%s: %w", b.Name(), atomicfile.Cause(err))
	}
	if bytes.Equal(now, b.disk) {
		return false, nil
	}
	b.Drop()
	before := b.text
	if err := b.show(now); err != nil {
		return false, err
	}
	b.disk = now
	b.undo, b.redo = kept(b.undo, step{before, "a change from outside"}), nil
	return true, nil
}

// Undo takes the last step back, Redo does it again. They give what the step was; "": there is none.
func (b *Board) Undo() (words string, err error) { return b.travel(&b.undo, &b.redo) }
func (b *Board) Redo() (words string, err error) { return b.travel(&b.redo, &b.undo) }

func (b *Board) travel(along, back *[]step) (string, error) {
	b.Drop()
	if len(*along) == 0 {
		return "", nil
	}
	last := (*along)[len(*along)-1]
	if err := b.write(last.text); err != nil {
		return "", err
	}
	*along = (*along)[:len(*along)-1]
	*back = append(*back, step{b.text, last.words})
	return last.words, b.show(last.text)
}

// Resume takes over the steps of a board of the same file that was put away, and what was chosen on it.
func (b *Board) Resume(before *Board) {
	b.undo, b.redo = before.undo, before.redo
	if !bytes.Equal(before.text, b.text) {
		b.undo, b.redo = kept(b.undo, step{before.text, "a change from outside"}), nil
	}
	b.Choose(before.chosen)
}

// Steps is how many steps can be undone.
func (b *Board) Steps() int { return len(b.undo) }
