package tomlfile

import (
	"encoding"
	"reflect"
	"strings"

	"chalkfield/internal/base/geom"
)

var (
	textUnmarshaler = reflect.TypeFor[encoding.TextUnmarshaler]()
	vecType         = reflect.TypeFor[geom.Vec]()
	poseType        = reflect.TypeFor[geom.Pose]()
	entryType       = reflect.TypeFor[Entry]()
)

// Entry is a number under a name that the user chose. A list of entries is decoded from a table, in the file's order.
type Entry struct {
	Key   string
	Value float64
}

// member is a struct field as the file sees it.
type member struct {
	key   string
	index []int
	typ   reflect.Type
	need  string // example value of a key that must be given
	usual string // default
	form
}

// form says what a value may be.
type form struct {
	unit  string // SI unit of a quantity; | parts several kinds
	refer string // what the name stands for that a whole number is given by
	words string // the words known, behind what they are: "kind of wheel: omni, traction"
	limits
}

// example is how to write a key that must be given. A list of tables is shown by its header.
func (m member) example() string {
	if m.need == "[["+m.key+"]]" {
		return m.need
	}
	return m.key + " = " + strings.ReplaceAll(m.need, "'", `"`)
}

// members lists a struct's keys in order, embedded structs flattened. A pose has two, its place and its direction: the
// latter is what a default is of.
func members(t reflect.Type) []member {
	var out []member
	for _, f := range reflect.VisibleFields(t) {
		key, given := f.Tag.Lookup("toml")
		if !given {
			continue
		}
		tag := f.Tag.Get
		m := member{key, f.Index, f.Type, tag("need"), tag("default"),
			form{tag("unit"), tag("refer"), tag("words"), limits{tag("min"), tag("max"), tag("zero")}}}
		if f.Type != poseType {
			out = append(out, m)
			continue
		}
		place, direction, _ := strings.Cut(key, ",")
		heading, _ := poseType.FieldByName("Heading")
		turn := member{direction, append(append([]int{}, f.Index...), heading.Index...), heading.Type, "", m.usual,
			form{unit: "rad", limits: limits{low: "-360 deg", high: "360 deg"}}}
		m.key, m.usual, m.unit = place, "", "m"
		out = append(out, m, turn)
	}
	return out
}

// members are those of a struct, found once a file.
func (p *Positions) members(t reflect.Type) []member {
	list, known := p.shapes[t]
	if !known {
		list = members(t)
		p.shapes[t] = list
	}
	return list
}

// known are a word's what and the words.
func (f form) known(key string) (what string, words []string) {
	what, list, given := strings.Cut(f.words, ": ")
	if !given {
		what, list = key, f.words
	}
	return what, strings.Split(list, ", ")
}

// isText reports whether a type has a text form of its own.
func isText(t reflect.Type) bool { return reflect.PointerTo(t).Implements(textUnmarshaler) }

// isTable reports whether a struct is a table of the file, not a place.
func isTable(t reflect.Type) bool {
	return t.Kind() == reflect.Struct && t != vecType && t != poseType && !isText(t)
}

func indexOf(words []string, word string) int {
	for i, w := range words {
		if w == word {
			return i
		}
	}
	return -1
}
