package tomlfile

import (
	"bytes"
	"cmp"
	"fmt"
	"reflect"
	"sort"
	"strings"

	"chalkfield/internal/base/wording"
)

// Positions knows where each key of a decoded file stands, and collects what validation finds wrong.
type Positions struct {
	name   string
	data   []byte
	root   *node
	places map[string]*node // by path
	errs   Errors
	shapes map[reflect.Type][]member // of the structs met so far: to read their tags costs more than a file
	// how many errors, those only counted too, by the table of a list that they are in; see group
	faulty map[string]int
}

func newPositions(name string, data []byte, root *node) *Positions {
	p := &Positions{name: name, data: data, root: root, places: map[string]*node{}, shapes: map[reflect.Type][]member{},
		faulty: map[string]int{}}
	root.index("", 0, func(path string, n *node) { p.places[path] = n })
	return p
}

// Has reports whether the file gives a key: Has("pieces[3].at").
func (p *Positions) Has(path string) bool {
	_, ok := p.places[path]
	return ok
}

// Keys are the keys that the file gives in a table, in file order; nil if there is no such table.
func (p *Positions) Keys(path string) []string {
	if n := p.places[path]; n != nil {
		return n.keys
	}
	return nil
}

// Length is how many values the file gives in a list, 0 for no list.
func (p *Positions) Length(path string) int {
	if n := p.places[path]; n != nil {
		return len(n.items)
	}
	return 0
}

// Unit tells which of several kinds of quantity a value is of that may be of either, by its place among them.
func (p *Positions) Unit(path string) int { return p.nearest(path).unit }

// Errorf notes that the value at a path is wrong: say what is wrong and what to write instead. A path that the file
// does not have takes the place of the nearest table around it.
func (p *Positions) Errorf(path, format string, args ...any) {
	p.note(p.nearest(path).at, path, format, args...)
}

// TextErrorf is Errorf at a byte of a text's value, as near as its quotes and escapes let it be found.
func (p *Positions) TextErrorf(path string, offset int, format string, args ...any) {
	n := p.nearest(path)
	at := n.at
	if open := bytes.Index(p.data[at:], n.text); open > 0 && open <= len(`"""`)+1 {
		at += open + min(offset, len(n.text))
	}
	p.note(at, path, format, args...)
}

// KeyErrorf is Errorf at the key instead of its value, for keys that do not belong there.
func (p *Positions) KeyErrorf(path, format string, args ...any) {
	p.note(p.nearest(path).keyAt, path, format, args...)
}

func (p *Positions) note(offset int, path, format string, args ...any) {
	p.faulty[group(path)]++
	if p.errs.full() {
		p.errs.More++
		return
	}
	line, column := lineColumn(p.data, offset)
	p.errs.List = append(p.errs.List, &Error{p.name, line, column, path, fmt.Sprintf(format, args...)})
}

// Index is the place of a name among the known ones. If it is not there it notes an error at the path, which suggests
// the nearest, and gives -1. What says what the name stands for: "piece kind".
func (p *Positions) Index(path, what, name string, known []string) int {
	for i, k := range known {
		if k == name {
			return i
		}
	}
	p.Errorf(path, "%q is no %s: %s", shorten(name), what, wording.Instead(name, known))
	return -1
}

// Err is everything noted so far, in the order of the file, or nil.
func (p *Positions) Err() error {
	if len(p.errs.List) == 0 {
		return nil
	}
	p.inOrder()
	return &p.errs
}

// Noted is everything noted so far, in the order of the file, and how many more were only counted.
func (p *Positions) Noted() (list []*Error, more int) { return p.inOrder(), p.errs.More }

// inOrder is what was noted, in the order of the file.
func (p *Positions) inOrder() []*Error {
	sort.SliceStable(p.errs.List, func(i, j int) bool {
		a, b := p.errs.List[i], p.errs.List[j]
		return a.Line < b.Line || a.Line == b.Line && a.Column < b.Column
	})
	return p.errs.List
}

// nearest is the node at a path or the closest one around it.
func (p *Positions) nearest(path string) *node {
	for {
		cut := strings.LastIndexAny(path, ".[")
		if n := p.places[path]; n != nil || cut < 0 {
			return cmp.Or(n, p.root)
		}
		path = path[:cut]
	}
}
