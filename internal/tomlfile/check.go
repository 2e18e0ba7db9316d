package tomlfile

import (
	"cmp"
	"encoding"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

var textUnmarshaler = reflect.TypeFor[encoding.TextUnmarshaler]()

// member is a struct field as the file sees it.
type member struct {
	key   string
	need  string // example value of a key that must be given
	usual string // default
	index []int
	typ   reflect.Type
	limits
}

// example is how to write a key that must be given. A list of tables is shown by its header.
func (m member) example() string {
	if m.need == "[["+m.key+"]]" {
		return m.need
	}
	return m.key + " = " + strings.ReplaceAll(m.need, "'", `"`)
}

// members lists a struct's keys in order, embedded structs flattened.
func members(t reflect.Type) []member {
	var out []member
	for _, f := range reflect.VisibleFields(t) {
		key, _, _ := strings.Cut(f.Tag.Get("toml"), ",")
		if !f.IsExported() || key == "-" || f.Anonymous && key == "" {
			continue
		}
		if key == "" {
			key = f.Name
		}
		out = append(out, member{key, f.Tag.Get("need"), f.Tag.Get("default"), f.Index, f.Type,
			limits{f.Tag.Get("min"), f.Tag.Get("max"), f.Tag.Get("zero")}})
	}
	return out
}

// check compares a value of the document with the Go type that it is to be decoded into, and notes each difference.
func (p *Positions) check(path string, n *node, t reflect.Type) {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch {
	case reflect.PointerTo(t).Implements(textUnmarshaler):
		p.checkText(path, n, t)
	case t.Kind() == reflect.Struct:
		if p.expect(path, n, unstable.Table, "a table") {
			p.checkStruct(path, n, t)
		}
	case t.Kind() == reflect.Map:
		if p.expect(path, n, unstable.Table, "a table") {
			for _, key := range n.keys {
				p.check(join(path, key), n.table[key], t.Elem())
			}
		}
	case t.Kind() == reflect.Slice || t.Kind() == reflect.Array:
		p.checkList(path, n, t)
	default:
		p.checkScalar(path, n, t)
	}
}

func (p *Positions) checkStruct(path string, n *node, t reflect.Type) {
	all := members(t)
	known := make([]string, len(all))
	for i, m := range all {
		known[i] = m.key
	}
	misspelt := map[string]bool{}
	for _, key := range n.keys {
		if i := indexOf(known, key); i >= 0 {
			p.check(join(path, key), n.table[key], all[i].typ)
			p.checkLimits(join(path, key), n.table[key], all[i].typ, all[i].limits)
		} else if p.errs.full() {
			p.KeyErrorf(join(path, key), "") // only counted: no nearest key is looked for
		} else {
			p.KeyErrorf(join(path, key), "there is no key %q here: %s", shorten(key), cmp.Or(home(path, n, all, key), Instead(key, known)))
			misspelt[Nearest(key, known)] = true
		}
	}
	for _, m := range all {
		if m.need != "" && n.table[m.key] == nil && !misspelt[m.key] {
			p.Errorf(join(path, m.key), "the key %q is missing: write, for example, %s", m.key, m.example())
		}
	}
}

func (p *Positions) checkList(path string, n *node, t reflect.Type) {
	if !p.expect(path, n, unstable.Array, "a list in [ ]") {
		return
	}
	if t.Kind() == reflect.Array && len(n.items) != t.Len() {
		p.Errorf(path, "a list of exactly %d values belongs here, but there are %d", t.Len(), len(n.items))
		return
	}
	for i, item := range n.items {
		p.check(path+"["+strconv.Itoa(i)+"]", item, t.Elem())
	}
}

// checkText tries a value on a type with a text form of its own, as quantities have. A number without quotes gets that
// type's own message too: go-toml would take it for SI units.
func (p *Positions) checkText(path string, n *node, t reflect.Type) {
	text := n.text
	switch n.kind {
	case unstable.Array:
		text = []byte("[ ]")
	case unstable.Table:
		text = []byte("{ }")
	}
	into := reflect.New(t).Interface().(encoding.TextUnmarshaler)
	if err := into.UnmarshalText(text); err != nil {
		p.Errorf(path, "%v", err)
	} else if n.kind != unstable.String {
		p.Errorf(path, "a text belongs here: write %q", string(text))
	}
}

func (p *Positions) checkScalar(path string, n *node, t reflect.Type) {
	switch t.Kind() {
	case reflect.String:
		p.expect(path, n, unstable.String, "a text in quotes")
	case reflect.Bool:
		p.expect(path, n, unstable.Bool, "true or false")
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		p.expect(path, n, unstable.Integer, "a whole number")
	case reflect.Float32, reflect.Float64:
		if n.kind != unstable.Integer {
			p.expect(path, n, unstable.Float, "a number without quotes")
		}
		if x, err := strconv.ParseFloat(string(n.text), 64); n.kind == unstable.Float && err == nil && (math.IsNaN(x) || math.IsInf(x, 0)) {
			p.Errorf(path, "%s is no usable number: write a finite one", n.text)
		}
	}
}

// expect notes an error unless the value is of a kind.
func (p *Positions) expect(path string, n *node, kind unstable.Kind, due string) bool {
	if n.kind == kind {
		return true
	}
	p.Errorf(path, "%s belongs here, but %s stands there", due, describe(n))
	return false
}

func describe(n *node) string {
	switch n.kind {
	case unstable.Table:
		return "a table"
	case unstable.Array:
		return "a list"
	case unstable.String:
		return fmt.Sprintf("the text %q", shorten(string(n.text)))
	default:
		return shorten(string(n.text))
	}
}

func shorten(text string) string {
	if r := []rune(text); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return text
}

func indexOf(words []string, word string) int {
	for i, w := range words {
		if w == word {
			return i
		}
	}
	return -1
}
