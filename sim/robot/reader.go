package robot

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"chalkfield/internal/base/tomlfile"
)

// reader completes a decoded Robot and notes what is wrong by its place in the file. It goes on after an error, so that
// all errors of a file are shown at once.
type reader struct {
	at  *tomlfile.Positions
	out *Robot
}

func (r *reader) robot() {
	r.out.About = strings.TrimSpace(r.out.About)
	r.readChassis()
	r.readMotors()
	r.readDrive()
	r.readBattery()
	r.readParts()
	r.readSensors()
	r.readOdometry()
}

// word is what a routine can write behind a dot: a Lua name.
var word = regexp.MustCompile(`^[a-z][a-z0-9_]*$`)

// luaWords cannot stand behind a dot.
var luaWords = strings.Fields(`and break do else elseif end false for function goto if in local nil not or repeat return
	then true until while`)

// beside are the names that the routine API puts beside a robot's parts, and "none", which a reference uses for
// nothing.
var beside = strings.Fields(`none drive sense where set_where battery air parts sensors side name`)

// name checks a part's or sensor's name against its form and those before it.
func (r *reader) name(path, what, name string, before []string) {
	switch {
	case !word.MatchString(name) || len(name) > 40:
		r.at.Errorf(path, "%q cannot be written in a routine: write a name of small letters, digits and _, such as %q",
			name, suggest(name, what))
	case slices.Contains(luaWords, name), what == "part" && slices.Contains(beside, name):
		r.at.Errorf(path, "%q has a meaning of its own in routines: write another name, such as %q", name, name+"_1")
	default:
		r.unique(path, what, name, before)
	}
}

func (r *reader) unique(path, what, name string, before []string) {
	if slices.Contains(before, name) {
		r.at.Errorf(path, "there is already a %s named %q: write another name", what, name)
	}
}

// suggest makes a name that can be used out of one that cannot.
func suggest(name, what string) string {
	out := strings.Map(func(c rune) rune {
		switch {
		case c >= 'a' && c <= 'z', c >= '0' && c <= '9':
			return c
		case c >= 'A' && c <= 'Z':
			return c + 'a' - 'A'
		}
		return '_'
	}, name)
	if !word.MatchString(out) || len(out) > 40 {
		return what + "_1"
	}
	return out
}

// part is the index of the part of a kind that a key names. A key left out means the only part of that kind; "none"
// means -1, as does a key left out where there is no such part or, for an optional one, where there are several.
func (r *reader) part(path string, kind Kind, needed bool) int {
	var indices []int
	var names []string
	for i, p := range r.out.Parts {
		if p.Kind == kind {
			indices, names = append(indices, i), append(names, p.Name)
		}
	}
	switch name := r.at.Text(path); {
	case name == "" && len(indices) == 1:
		return indices[0]
	case needed && len(indices) == 0:
		r.at.Errorf(path, "this robot has no %s: add a part with a table [parts.%s]", kind, kind)
	case needed && (name == "" || name == "none"):
		r.at.Errorf(path, "say which %s: write one of %s", kind, quoted(names))
	case name != "" && name != "none":
		if i := r.at.Index(path, string(kind)+" of this robot", name, names); i >= 0 {
			return indices[i]
		}
	}
	return -1
}

func quoted(names []string) string {
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = fmt.Sprintf("%q", n)
	}
	return strings.Join(out, ", ")
}
