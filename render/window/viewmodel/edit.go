package viewmodel

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"chalkfield/internal/base/atomicfile"
)

// Edit is a change of one place of the routine's file, not made yet.
type Edit struct {
	Name     string // of the file
	What     string // that stands there: "start = ", "line 31: "
	Old, New string
	path     string
	text     string // the whole file when asked
	from     int    // byte where Old stands in it
}

// StartChange works out how the moved start would be written into the routine's file.
func (d *Model) StartChange() (Edit, error) {
	if d.arranged.Start == nil {
		return Edit{}, errors.New("the start has not been moved: press A and drag the robot first")
	}
	if err := d.writable(); err != nil {
		return Edit{}, err
	}
	data, err := atomicfile.Read(d.Text.Path, atomicfile.Routine)
	if err != nil {
		return Edit{}, err
	}
	text := string(data)
	from, to, err := startTable(text)
	if err != nil {
		return Edit{}, err
	}
	return Edit{Name: filepath.Base(d.Text.Path), What: "start = ", Old: text[from:to],
		New: LuaPose(d.asWritten(*d.arranged.Start)), path: d.Text.Path, text: text, from: from}, nil
}

// ErrNoFile: the routine comes with the program; what is tried can be kept in a copy.
var ErrNoFile = errors.New("the routine is no file of yours: `chalkfield new` writes a project of your own")

// writable says why nothing can be written into the routine shown, nil if it can.
func (d *Model) writable() error {
	switch {
	case d.Files.Record != "":
		return errors.New("the routine is inside the record: O opens a routine of your own")
	case d.Text.Path == "":
		return ErrNoFile
	}
	return nil
}

// changed is the text with the edit made.
func (e Edit) changed() string { return e.text[:e.from] + e.New + e.text[e.from+len(e.Old):] }

// Write makes the change where the file still has the place with its old content, TakeBack where it has the new.
func (e Edit) Write() error    { return e.exchange(e.Old, e.New) }
func (e Edit) TakeBack() error { return e.exchange(e.New, e.Old) }

func (e Edit) exchange(from, to string) error {
	data, err := atomicfile.Read(e.path, atomicfile.Routine)
	if err != nil {
		return err
	}
	text := string(data)
	at, ok := e.find(text, from)
	if !ok {
		return fmt.Errorf("%s was changed there meanwhile, nothing was written", e.Name)
	}
	return atomicfile.Write(e.path, func(out io.Writer) error {
		_, err := io.WriteString(out, text[:at]+to+text[at+len(from):])
		return err
	})
}

// find is where the place stands in a text that may have become another: of all that have the content, and the line
// before or after it as it was, the one with the most around it as it was. False: there is none, or two are alike.
func (e Edit) find(text, content string) (at int, ok bool) {
	before, after := e.text[:e.from], e.text[e.from+len(e.Old):]
	head := before[strings.LastIndexByte(before, '\n')+1:]
	tail, _, _ := strings.Cut(after, "\n")
	best := -1
	for i := 0; i+len(content) <= len(text); i++ {
		next := strings.Index(text[i:], content)
		if next < 0 {
			break
		}
		i += next
		end := i + len(content)
		same, on := ending(text[:i], before), beginning(text[end:], after)
		if cutsWord(text, i) || cutsWord(text, end) || same < len(head) && on < len(tail) {
			continue
		}
		if around := same + on; around > best {
			at, best, ok = i, around, true
		} else if around == best {
			ok = false
		}
	}
	return at, ok
}

const mostAround = 4096 // bytes that are compared before and after a place

// ending and beginning are how many bytes two texts have in common at the end and at the beginning.
func ending(a, b string) int {
	n := 0
	for n < min(len(a), len(b), mostAround) && a[len(a)-1-n] == b[len(b)-1-n] {
		n++
	}
	return n
}

func beginning(a, b string) int {
	n := 0
	for n < min(len(a), len(b), mostAround) && a[n] == b[n] {
		n++
	}
	return n
}

// cutsWord reports whether a place lies within a word or a number.
func cutsWord(text string, at int) bool {
	inside := func(c byte) bool {
		return c == '.' || c == '_' || c >= '0' && c <= '9' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
	}
	return at > 0 && at < len(text) && inside(text[at-1]) && inside(text[at])
}

// standing is the place as the file has it with the change, or without.
func (e Edit) standing(with bool) string {
	if with {
		return e.What + inShort(e.New)
	}
	return e.What + inShort(e.Old)
}
