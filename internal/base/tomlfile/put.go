package tomlfile

import (
	"cmp"
	"encoding"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"chalkfield/internal/base/units"
	"chalkfield/internal/base/wording"

	"github.com/pelletier/go-toml/v2/unstable"
)

// put decodes a value of the document into a Go value, and notes what does not fit.
func (p *Positions) put(path string, n *node, v reflect.Value, f form) {
	switch t := v.Type(); {
	case t.Kind() == reflect.Pointer:
		v.Set(reflect.New(t.Elem()))
		p.put(path, n, v.Elem(), f)
	case t == plainType:
		p.putPlain(path, n, v)
	case isText(t):
		p.putText(path, n, v.Addr().Interface().(encoding.TextUnmarshaler))
	case t == vecType, t == poseType:
		if p.expectList(path, n, 2) {
			p.put(element(path, 0), n.items[0], v.FieldByName("X"), f)
			p.put(element(path, 1), n.items[1], v.FieldByName("Y"), f)
		}
	case t.Kind() == reflect.Struct:
		if n.kind == unstable.Array && len(n.items) > 0 && n.items[0].kind == unstable.Table && !n.items[0].brace {
			p.Errorf(path, "there is only one of these: write [%s], with all its keys below", index.ReplaceAllString(path, ""))
		} else if p.expect(path, n, unstable.Table, "a table") {
			p.putTable(path, n, v)
		}
	case t.Kind() == reflect.Map || t.Kind() == reflect.Slice && t.Elem() == entryType:
		p.putEntries(path, n, v, f)
	case t.Kind() == reflect.Slice:
		if n.kind == unstable.Table && !n.brace && isTable(t.Elem()) {
			p.Errorf(path, "%s", severalOf(index.ReplaceAllString(path, "")))
		} else if p.expectList(path, n, len(n.items)) {
			v.Set(reflect.MakeSlice(t, len(n.items), len(n.items)))
			p.putItems(path, n, v, f)
		}
	case t.Kind() == reflect.Array:
		if p.expectList(path, n, t.Len()) {
			p.putItems(path, n, v, f)
		}
	default:
		p.putScalar(path, n, v, f)
	}
}

func element(path string, i int) string { return path + "[" + strconv.Itoa(i) + "]" }

func (p *Positions) putItems(path string, n *node, v reflect.Value, f form) {
	for i, item := range n.items {
		p.put(element(path, i), item, v.Index(i), f)
	}
}

// putEntries fills a map, or a list of entries, from a table with keys of the user's own.
func (p *Positions) putEntries(path string, n *node, v reflect.Value, f form) {
	if !p.expect(path, n, unstable.Table, "a table") {
		return
	}
	if v.Kind() == reflect.Map {
		v.Set(reflect.MakeMap(v.Type()))
	}
	for _, key := range n.keys {
		if v.Kind() == reflect.Map {
			value := reflect.New(v.Type().Elem()).Elem()
			p.put(join(path, key), n.table[key], value, f)
			v.SetMapIndex(reflect.ValueOf(key), value)
			continue
		}
		e := Entry{Key: key}
		p.put(join(path, key), n.table[key], reflect.ValueOf(&e.Value).Elem(), f)
		v.Set(reflect.Append(v, reflect.ValueOf(e)))
	}
}

func (p *Positions) putTable(path string, n *node, v reflect.Value) {
	all := p.members(v.Type())
	known := make([]string, len(all))
	for i, m := range all {
		known[i] = m.key
	}
	misspelt := map[string]bool{}
	for _, key := range n.keys {
		if i := indexOf(known, key); i >= 0 {
			if j := indexOf(known[i+1:], key); j >= 0 && n.table[key].kind == unstable.String {
				i += 1 + j
			}
			p.put(join(path, key), n.table[key], v.FieldByIndex(all[i].index), all[i].form)
		} else if p.errs.full() {
			p.KeyErrorf(join(path, key), "") // only counted: no nearest key is looked for
		} else {
			p.KeyErrorf(join(path, key), "there is no key %q here: %s", shorten(key),
				cmp.Or(home(path, n, all, key), wording.Instead(key, slices.Compact(slices.Clone(known)))))
			misspelt[wording.Nearest(key, known)] = true
		}
	}
	for _, m := range all {
		if n.table[m.key] != nil {
			continue
		}
		p.setDefault(m, v.FieldByIndex(m.index))
		if m.need != "" && !misspelt[m.key] {
			p.Errorf(join(path, m.key), "the key %q is missing: write, for example, %s", m.key, m.example())
		}
	}
}

// setDefault gives a key that the file leaves out what its tag says: of a table, each key. A default that its own type
// cannot read is our mistake, met by the first test that decodes the type.
func (p *Positions) setDefault(m member, v reflect.Value) {
	switch {
	case isTable(v.Type()):
		for _, below := range p.members(v.Type()) {
			p.setDefault(below, v.FieldByIndex(below.index))
		}
	case m.refer != "" && v.Kind() == reflect.Int:
		v.SetInt(-1)
	case m.usual != "":
		usual := newPositions("", nil, newTable(0))
		usual.put("", &node{kind: kindFor(v.Type(), m.form), text: []byte(m.usual)}, v, m.form)
		if len(usual.errs.List) > 0 {
			panic(fmt.Sprintf("tomlfile: default of key %q: %s", m.key, usual.errs.List[0].What))
		}
	}
}

// kindFor is how TOML would write a default.
func kindFor(t reflect.Type, f form) unstable.Kind {
	switch {
	case f.unit == "" && f.words == "" && (reflect.Zero(t).CanInt() || reflect.Zero(t).CanUint()):
		return unstable.Integer
	case f.unit == "" && reflect.Zero(t).CanFloat():
		return unstable.Float
	case f.words == "" && t.Kind() == reflect.Bool:
		return unstable.Bool
	}
	return unstable.String
}

// putText reads a value by a type's text form.
// Plain is a text that a file may write without quotes where it is a number, or true or false.
type Plain string

var plainType = reflect.TypeFor[Plain]()

func (p *Positions) putPlain(path string, n *node, v reflect.Value) {
	switch n.kind {
	case unstable.String, unstable.Integer, unstable.Float, unstable.Bool:
		v.SetString(string(n.text))
	default:
		p.Errorf(path, "a number or a text belongs here, such as 0.15 or \"left\"")
	}
}

func (p *Positions) putText(path string, n *node, into encoding.TextUnmarshaler) {
	if err := into.UnmarshalText(n.written()); err != nil {
		p.Errorf(path, "%v", err)
	} else if n.kind != unstable.String {
		p.Errorf(path, "a text belongs here: write %q", n.text)
	}
}

// written is a value's text, or the brackets of one that has none.
func (n *node) written() []byte {
	switch n.kind {
	case unstable.Array:
		return []byte("[ ]")
	case unstable.Table:
		return []byte("{ }")
	}
	return n.text
}

func (p *Positions) putScalar(path string, n *node, v reflect.Value, f form) {
	switch {
	case f.unit != "":
		x, which, err := units.Parse(f.unit, string(n.written()))
		if err != nil {
			p.Errorf(path, "%v", err)
			return
		}
		v.SetFloat(x)
		n.unit = which
		p.within(path, n, x, f, "a value")
	case f.refer != "":
		v.SetInt(-1) // see Refer
		p.expect(path, n, unstable.String, "a text in quotes")
	case f.words != "":
		p.putWord(path, n, v, f)
	case v.Kind() == reflect.String:
		if p.expect(path, n, unstable.String, "a text in quotes") {
			v.SetString(string(n.text))
		}
	case v.Kind() == reflect.Bool:
		if p.expect(path, n, unstable.Bool, "true or false") {
			v.SetBool(string(n.text) == "true")
		}
	case v.CanInt() || v.CanUint():
		p.putWhole(path, n, v, f)
	case v.CanFloat():
		p.putNumber(path, n, v, f)
	default:
		panic("tomlfile: " + path + " is of a type that no file has: " + v.Type().String())
	}
}

// putWord takes one of the known words; for a whole number its place among them, for a bool whether it is the second.
func (p *Positions) putWord(path string, n *node, v reflect.Value, f form) {
	if !p.expect(path, n, unstable.String, "a text in quotes") {
		return
	}
	what, words := f.known(path[strings.LastIndexByte(path, '.')+1:])
	switch i := p.Index(path, what, string(n.text), words); {
	case i >= 0 && v.Kind() == reflect.Bool:
		v.SetBool(i == 1)
	case i >= 0 && v.CanInt():
		v.SetInt(int64(i))
	case i >= 0:
		v.SetString(words[i])
	}
}

func (p *Positions) putWhole(path string, n *node, v reflect.Value, f form) {
	if !p.expect(path, n, unstable.Integer, "a whole number") {
		return
	}
	x, err := strconv.ParseInt(string(n.text), 0, 64) // any way that TOML writes a whole number
	switch {
	case err != nil || v.CanInt() && v.OverflowInt(x):
		p.Errorf(path, "%s is too large", n.text)
		return
	case v.CanInt():
		v.SetInt(x)
	case x < 0:
		p.Errorf(path, "must be 0 or more")
		return
	default:
		v.SetUint(uint64(x))
	}
	p.within(path, n, float64(x), f, "a whole number")
}

func (p *Positions) putNumber(path string, n *node, v reflect.Value, f form) {
	if n.kind != unstable.Integer && !p.expect(path, n, unstable.Float, "a number without quotes") {
		return
	}
	x, err := number(string(n.text))
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
		p.Errorf(path, "%s is no usable number: write a finite one", n.text)
		return
	}
	v.SetFloat(x)
	p.within(path, n, x, f, "a number")
}

// number reads a number in any way that TOML writes one.
func number(text string) (float64, error) {
	if whole, err := strconv.ParseInt(text, 0, 64); err == nil {
		return float64(whole), nil
	}
	return strconv.ParseFloat(strings.ReplaceAll(text, "_", ""), 64)
}

// expect notes an error unless the value is of a kind.
func (p *Positions) expect(path string, n *node, kind unstable.Kind, due string) bool {
	if n.kind == kind {
		return true
	}
	p.Errorf(path, "%s belongs here, but %s stands there", due, describe(n))
	return false
}

func (p *Positions) expectList(path string, n *node, length int) bool {
	if !p.expect(path, n, unstable.Array, "a list in [ ]") {
		return false
	}
	if len(n.items) != length {
		p.Errorf(path, "a list of exactly %d values belongs here, but there are %d", length, len(n.items))
		return false
	}
	return true
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
