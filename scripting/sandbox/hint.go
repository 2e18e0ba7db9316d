package sandbox

import (
	"slices"
	"sort"
	"strings"

	"chalkfield/internal/base/wording"

	lua "github.com/yuin/gopher-lua"
)

// absent tells those who look for a part of Lua that a routine does not have what to use instead.
var absent = map[string]string{
	"os": "use clock() for the time", "io": "use note(text) to leave a line in the record",
	"debug": "", "package": "use require", "coroutine": "use task(function() ... end) and wait(seconds)",
	"load": "", "loadstring": "", "loadfile": "use require", "dofile": "use require", "module": "return a table instead",
	"collectgarbage": "", "getfenv": "", "setfenv": "", "newproxy": "",
}

// elsewhere tells those who come from another language what a routine has for it, by the name in small letters.
var elsewhere = map[string]string{
	"sleep": waits, "delay": waits, "pause": waits,
	"time": "clock() for the seconds since the start", "now": "clock() for the seconds since the start",
	"printf": "print(text) or note(text)", "println": "print(text) or note(text)", "echo": "print(text) or note(text)",
	"thread": tasks, "spawn": tasks, "async": tasks, "parallel": tasks,
	"drive": "bot.drive", "sense": "bot.sense", "where": "bot.where()",
}

const (
	waits = "wait(seconds)"
	tasks = "task(function() ... end)"
)

// hint is what to write instead of a global's name that means nothing in a file, as the end of a message. A global that
// the file itself gives values is no slip, and gets none.
func (b *Box) hint(name, file string) string {
	first, _, _ := strings.Cut(name, ".")
	if advice, is := absent[first]; is {
		if advice != "" {
			advice = ": " + advice
		}
		return " (a routine has no " + first + advice + ")"
	}
	source := b.sources[file]
	if source == nil {
		source = &Source{}
	}
	if slices.Contains(source.assigned, name) {
		return ""
	}
	if advice, is := elsewhere[strings.ToLower(first)]; is &&
		b.root.G.Global.RawGetString(strings.ToLower(first)) == lua.LNil {
		return ": write " + advice
	}
	for _, library := range []string{"math", "table", "string"} {
		if t, is := b.root.G.Global.RawGetString(library).(*lua.LTable); is && t.RawGetString(name) != lua.LNil {
			return ": write " + library + "." + name
		}
	}
	if near := wording.Nearest(name, slices.Concat(source.declared, b.names())); near != "" && near != name {
		return ": write " + near
	}
	return ""
}

// names are the globals' names, sorted.
func (b *Box) names() []string {
	var list []string
	for _, key := range tableOf(b.root.G.Global).keys {
		if name, is := key.(lua.LString); is {
			list = append(list, string(name))
		}
	}
	sort.Strings(list)
	return list
}
