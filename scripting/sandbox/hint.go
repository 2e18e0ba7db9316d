package sandbox

import (
	"sort"
	"strings"

	"chalkfield/internal/tomlfile"

	lua "github.com/yuin/gopher-lua"
)

// absent tells those who look for a part of Lua that a routine does not have what to use instead.
var absent = map[string]string{
	"os": "use clock() for the time", "io": "use note(text) to leave a line in the record",
	"debug": "", "package": "use require", "coroutine": "use task(function() ... end) and wait(seconds)",
	"load": "", "loadstring": "", "loadfile": "use require", "dofile": "use require", "module": "return a table instead",
	"collectgarbage": "", "getfenv": "", "setfenv": "", "newproxy": "",
}

// hint is what to write instead of a name that means nothing, as the end of a message.
func (b *Box) hint(name string) string {
	first, _, _ := strings.Cut(name, ".")
	if advice, is := absent[first]; is {
		if advice != "" {
			advice = ": " + advice
		}
		return " (a routine has no " + first + advice + ")"
	}
	if near := tomlfile.Nearest(name, b.names()); near != "" && near != name {
		return ": did you mean " + near + "?"
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
