package sandbox

import (
	"cmp"
	"slices"
	"strings"

	lua "github.com/yuin/gopher-lua"
)

// Frame is a function of a file that is under way on a thread, and what it sees.
type Frame struct {
	File     string
	Line     int    // at which it stands
	Defined  int    // the line that its definition begins with; 0: it is the file itself
	Called   string // what the caller calls it
	Locals   []Variable
	Upvalues []Variable
}

// Variable is a name and what it holds.
type Variable struct {
	Name  string
	Value lua.LValue
}

// Frames are the functions under way on a thread that stands, innermost first, with their variables. Of two locals of
// one name it has the one that the function means. It reads, and changes nothing.
func (b *Box) Frames(thread *lua.LState) ([]Frame, error) {
	values := registryOf(thread).array
	var list []Frame
	for f := *frameOf(thread); f != nil; f = f.Parent {
		if f.Fn.IsG {
			continue
		}
		names, err := b.localsAt(f)
		if err != nil {
			return nil, err
		}
		p := f.Fn.Proto
		at := Frame{File: p.SourceName, Line: f.line(), Defined: p.LineDefined, Called: f.name()}
		for i, name := range names {
			v := held(values[f.LocalBase+i])
			unused := name == "arg" && v == lua.LNil // where a function has ... and says so, this is empty
			if !unused && !strings.HasPrefix(name, hidden) && !slices.Contains(names[i+1:], name) {
				at.Locals = append(at.Locals, Variable{name, v})
			}
		}
		for i, up := range f.Fn.Upvalues {
			at.Upvalues = append(at.Upvalues, Variable{p.DbgUpvalues[i], held(up.Value())})
		}
		list = append(list, at)
	}
	return list, nil
}

// held is a register's value: one that was never written holds nil.
func held(v lua.LValue) lua.LValue {
	if v == nil {
		return lua.LNil
	}
	return v
}

// localsAt are the names of the registers at the instruction that a frame stands at.
func (b *Box) localsAt(f *frame) ([]string, error) {
	p := f.Fn.Proto
	known := b.scopes[p.SourceName]
	if known == nil && b.sources[p.SourceName] != nil {
		var err error
		if known, err = scopesOf(b.sources[p.SourceName]); err != nil {
			return nil, err
		}
		b.scopes[p.SourceName] = known
	}
	if names := known[p]; f.Pc > 0 && f.Pc <= len(names) {
		return names[f.Pc-1], nil
	}
	return nil, nil
}

// OwnGlobals are the globals that files have given a value, in order of name.
func (b *Box) OwnGlobals() []Variable {
	var list []Variable
	for _, s := range b.sources {
		for _, name := range s.assigned {
			if v := b.root.G.Global.RawGetString(name); v != lua.LNil && !b.builtIn(v) {
				list = append(list, Variable{name, v})
			}
		}
	}
	slices.SortFunc(list, func(a, b Variable) int { return cmp.Compare(a.Name, b.Name) })
	return slices.CompactFunc(list, func(a, b Variable) bool { return a.Name == b.Name })
}

// builtIn reports whether a value is a function or a library that no file made.
func (b *Box) builtIn(v lua.LValue) bool {
	fn, is := v.(*lua.LFunction)
	return is && fn.IsG
}

// Entries are up to a number of a table's entries: the list first, then names in the order in which they were set. all
// is how many there are.
func Entries(t *lua.LTable, most int) (list []Entry, all int) {
	inner := tableOf(t)
	take := func(k, v lua.LValue) {
		if v == lua.LNil || v == nil {
			return
		}
		if all++; len(list) < most {
			list = append(list, Entry{k, v})
		}
	}
	for i, v := range inner.array {
		take(lua.LNumber(i+1), v)
	}
	for _, k := range inner.keys {
		if s, is := k.(lua.LString); is {
			take(k, inner.strdict[string(s)])
		} else {
			take(k, inner.dict[k])
		}
	}
	return list, all
}

// Entry is a key of a table and its value.
type Entry struct{ Key, Value lua.LValue }
