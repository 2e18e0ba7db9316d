package history

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"unicode/utf8"

	"chalkfield/scripting/sandbox"

	lua "github.com/yuin/gopher-lua"
)

// snapshot makes variables of values. Where a value is that of the moment before, so is its Variable.
type snapshot struct {
	words func(*lua.LUserData) string
	bytes int // of what is new
}

// list makes variables of a list, with the one of the moment before.
func (s *snapshot) list(values []sandbox.Variable, old []*Variable) []*Variable {
	if len(values) == 0 {
		return nil
	}
	list := make([]*Variable, len(values))
	for i, v := range values {
		list[i] = s.variable(v.Name, v.Value, named(old, i, v.Name), 0)
	}
	if slices.Equal(list, old) {
		return old
	}
	s.bytes += bytesPointer * len(list)
	return list
}

// named is the variable of a name, nil for none: nearly always the one at the same place.
func named(list []*Variable, i int, name string) *Variable {
	if i < len(list) && list[i].Name == name {
		return list[i]
	}
	for _, v := range list {
		if v.Name == name {
			return v
		}
	}
	return nil
}

// variable is one variable, or the old one if that held the same.
func (s *snapshot) variable(name string, value lua.LValue, old *Variable, depth int) *Variable {
	now := Variable{Name: name}
	var before []*Variable
	if old != nil {
		before = old.Members
	}
	switch v := value.(type) {
	case lua.LNumber:
		now.Kind, now.Number = Number, float64(v)
	case lua.LBool:
		if now.Kind = Boolean; bool(v) {
			now.Number = 1
		}
	case lua.LString:
		now.Kind, now.Text = String, beginning(string(v))
	case *lua.LTable:
		now.Kind = Table
		s.members(&now, v, before, depth)
	case *lua.LFunction:
		now.Kind, now.Text = Func, functionWords(v)
	case *lua.LUserData:
		now.Kind, now.Text = Object, s.words(v)
	default:
		now.Kind = Nil
	}
	if old != nil && old.same(&now) {
		return old
	}
	s.bytes += bytesVariable + len(now.Text) + bytesPointer*len(now.Members)
	return &now
}

func (v *Variable) same(w *Variable) bool {
	return v.Name == w.Name && v.Kind == w.Kind && v.Text == w.Text && slices.Equal(v.Members, w.Members) &&
		math.Float64bits(v.Number) == math.Float64bits(w.Number)
}

// members are a table's first entries; deep down only how many there are.
func (s *snapshot) members(now *Variable, t *lua.LTable, before []*Variable, depth int) {
	most := mostMembers
	if depth == deepest {
		most = 0
	}
	entries, all := sandbox.Entries(t, most)
	now.Number = float64(all)
	for i, e := range entries {
		name := keyWords(e.Key)
		now.Members = append(now.Members, s.variable(name, e.Value, named(before, i, name), depth+1))
	}
}

// keyWords is a key of a table as a name: a word as it is, else in brackets.
func keyWords(k lua.LValue) string {
	switch k := k.(type) {
	case lua.LString:
		if word := beginning(string(k)); plainName(word) {
			return word
		}
		return "[" + strconv.Quote(beginning(string(k))) + "]"
	case lua.LNumber:
		return "[" + strconv.FormatFloat(float64(k), 'g', 10, 64) + "]"
	case lua.LBool:
		return "[" + k.String() + "]"
	}
	return "[a " + k.Type().String() + "]"
}

func plainName(word string) bool {
	for i, r := range word {
		if r != '_' && (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') && (i == 0 || r < '0' || r > '9') {
			return false
		}
	}
	return word != ""
}

// beginning cuts a long text between two letters.
func beginning(text string) string {
	if len(text) <= longestText {
		return text
	}
	cut := longestText
	for cut > 0 && !utf8.RuneStart(text[cut]) {
		cut--
	}
	return text[:cut] + "..."
}

// functionWords says where a function is written.
func functionWords(fn *lua.LFunction) string {
	if fn.IsG {
		return "function of Chalkfield"
	}
	return fmt.Sprintf("function, %s:%d", fn.Proto.SourceName, fn.Proto.LineDefined)
}
