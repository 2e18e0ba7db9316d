package tomlfile

import (
	"reflect"
	"slices"
)

// Refer finds what the members of a decoded value name that refer to one kind of thing, below a path of the file: each
// becomes the name's place among the known ones. One that is not known, or named twice in a list, is noted and left
// out.
func (p *Positions) Refer(path string, into any, what string, known []string) {
	p.refer(path, reflect.ValueOf(into).Elem(), form{}, what, known)
}

func (p *Positions) refer(path string, v reflect.Value, f form, what string, known []string) {
	n := p.places[path]
	switch t := v.Type(); {
	case n == nil:
	case f.refer == what && v.Kind() == reflect.Int:
		v.SetInt(int64(p.Index(path, what, string(n.text), known)))
	case f.refer == what:
		p.referAll(path, n, v, what, known)
	case v.Kind() == reflect.Pointer && !v.IsNil():
		p.refer(path, v.Elem(), f, what, known)
	case isTable(t):
		for _, m := range p.members(t) {
			p.refer(join(path, m.key), v.FieldByIndex(m.index), m.form, what, known)
		}
	case v.Kind() == reflect.Slice && isTable(t.Elem()):
		for i := range min(v.Len(), len(n.items)) {
			p.refer(element(path, i), v.Index(i), f, what, known)
		}
	}
}

func (p *Positions) referAll(path string, n *node, v reflect.Value, what string, known []string) {
	found := []int{}
	for i, item := range n.items {
		name := string(item.text)
		switch k := p.Index(element(path, i), what, name, known); {
		case slices.Contains(found, k):
			p.Errorf(element(path, i), "%q is named twice: leave one out", name)
		case k >= 0:
			found = append(found, k)
		}
	}
	v.Set(reflect.ValueOf(found))
}
