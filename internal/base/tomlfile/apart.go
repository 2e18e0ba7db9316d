package tomlfile

import (
	"errors"
	"fmt"
	"reflect"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// DecodeApart is Decode for a file with a list of tables that stand each for itself: what is wrong in one of them is
// its own fault, by its index, and leaves the others. A table with a fault is left empty. The error is of what is wrong
// elsewhere; then it tells of all.
func DecodeApart(name string, data []byte, into any, list string) (at *Positions, faults map[int]error, err error) {
	v := reflect.ValueOf(into).Elem()
	root, err := parse(name, data, v.Type())
	if err != nil {
		return nil, nil, err
	}
	at = newPositions(name, data, root)
	at.putTable("", root, v)
	if at.faulty[""] > 0 {
		return nil, nil, at.Err()
	}
	faults = at.Apart(list)
	for _, m := range members(v.Type()) {
		for i := range faults {
			if m.key == list {
				v.FieldByIndex(m.index).Index(i).SetZero()
			}
		}
	}
	return at, faults, nil
}

// Apart takes what was noted about the tables of a list so far out of Err, and gives it by their index.
func (p *Positions) Apart(list string) map[int]error {
	faults := map[int]error{}
	var rest []*Error
	own := map[string]*Errors{}
	for _, e := range p.inOrder() {
		g := group(e.Key)
		if !strings.HasPrefix(g, list+"[") {
			rest = append(rest, e)
			continue
		}
		if own[g] == nil {
			own[g] = &Errors{}
		}
		own[g].List = append(own[g].List, e)
	}
	tables := p.root.table[list]
	for i := 0; tables != nil && i < len(tables.items); i++ {
		g := fmt.Sprintf("%s[%d]", list, i)
		switch n := p.faulty[g]; {
		case n == 0:
			continue
		case own[g] == nil:
			faults[i] = errors.New("more is wrong here: put right what is told of above first")
		default:
			own[g].More = n - len(own[g].List)
			faults[i] = own[g]
		}
		p.errs.More -= max(0, p.faulty[g]-len(errorsOf(own[g])))
		delete(p.faulty, g)
	}
	p.errs.List = rest
	return faults
}

func errorsOf(e *Errors) []*Error {
	if e == nil {
		return nil
	}
	return e.List
}

// group is the table of a list that a path leads into, "cases[3]" of "cases[3].name"; "" for any other path.
func group(path string) string {
	end := strings.IndexByte(path, ']')
	if end < 0 || strings.IndexByte(path, '.') >= 0 && strings.IndexByte(path, '.') < end {
		return ""
	}
	return path[:end+1]
}

// Text is the text that the file gives for a key, "" for none.
func (p *Positions) Text(path string) string {
	if n := p.places[path]; n != nil && n.kind == unstable.String {
		return string(n.text)
	}
	return ""
}
