package command

import (
	"os"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/app/check"
	"chalkfield/sim/robot"
)

// The pages of robot, field and check files name every key of the format, and its default on the same line, under a
// heading with the key's table where there is one.
func TestGuideNamesEveryKey(t *testing.T) {
	for page, format := range map[string]reflect.Type{
		"robot": reflect.TypeFor[robot.Robot](), "field": reflect.TypeFor[fields.Field](),
		"studies": reflect.TypeFor[check.File](),
	} {
		data, err := os.ReadFile("../../../assets/guide/" + page + ".md")
		if err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(string(data), "\n")
		keys := keysOf(format, "", nil)
		if len(keys) < 30 {
			t.Errorf("%s: only %d keys were found", page, len(keys))
		}
		for _, k := range keys {
			if !k.namedOn(lines) {
				t.Errorf("%s.md: no line has %s with its default %q", page, k.path, k.usual)
			}
		}
	}
}

// key is a key of a TOML format with its default, as the tags of its struct have them.
type key struct{ path, name, usual string }

func keysOf(t reflect.Type, path string, keys []key) []key {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice || t.Kind() == reflect.Array {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct {
		return keys
	}
	for i := range t.NumField() {
		f := t.Field(i)
		name := f.Tag.Get("toml")
		if f.Anonymous && name == "" {
			keys = keysOf(f.Type, path, keys)
			continue
		}
		if name == "" || name == "-" {
			continue
		}
		names := strings.Split(name, ",") // "at,direction": two keys of one value, the default is the last one's
		for _, one := range names[:len(names)-1] {
			keys = append(keys, key{path + one, one, ""})
		}
		last := names[len(names)-1]
		keys = append(keys, key{path + last, last, f.Tag.Get("default")})
		keys = keysOf(f.Type, path+last+".", keys)
	}
	return keys
}

func (k key) namedOn(lines []string) bool {
	word := regexp.MustCompile(`(^|[^a-z_])` + k.name + `($|[^a-z_])`)
	table, _, inTable := strings.Cut(k.path, ".")
	heads := func(line string) bool { return strings.HasPrefix(line, "##") && strings.Contains(line, "["+table) }
	anywhere := !inTable || !slices.ContainsFunc(lines, heads)
	under := anywhere
	for _, line := range lines {
		if strings.HasPrefix(line, "##") {
			under = anywhere || heads(line)
		}
		if under && word.MatchString(line) && strings.Contains(line, k.usual) {
			return true
		}
	}
	return false
}
