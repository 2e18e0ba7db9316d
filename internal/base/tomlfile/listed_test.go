package tomlfile

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
)

const listed = `# a field
tile = "600 mm" # of a floor
size = ["4.2 m", "3 m"]

# the camps
[[zones]]
name = "a"
shape = [["0 m", "0 m"], # first
  ["1 m", "0 m"],
  ["1 m", "1 m"]]

[[zones]] # the second
name = "b"

[zones.more]
x = 1

# what follows
[spread]
at = "5 mm"
`

func TestElementsComeAndGo(t *testing.T) {
	insert := func(list string, at int, keys ...Change) func() ([]byte, error) {
		return func() ([]byte, error) { return Insert([]byte(listed), list, at, keys) }
	}
	remove := func(path string) func() ([]byte, error) {
		return func() ([]byte, error) { return Remove([]byte(listed), path) }
	}
	put := func(path, value string) func() ([]byte, error) {
		return func() ([]byte, error) { return Put([]byte(listed), path, value) }
	}
	for name, c := range map[string]struct {
		do       func() ([]byte, error)
		from, to string // what is there instead of what
	}{
		"a table behind another": {insert("zones", 1, Change{"name", `"c"`}), "\n[[zones]] # the second",
			"\n[[zones]]\nname = \"c\"\n\n[[zones]] # the second"},
		"a table before all": {insert("zones", 0, Change{"name", `"c"`}), "[[zones]]\nname = \"a\"",
			"[[zones]]\nname = \"c\"\n\n[[zones]]\nname = \"a\""},
		"a table at the end": {insert("zones", 9, Change{"name", `"c"`}), "x = 1\n", "x = 1\n\n[[zones]]\nname = \"c\"\n"},
		"the first of a list": {insert("lines", 0, Change{"name", `"c"`}), "at = \"5 mm\"\n",
			"at = \"5 mm\"\n\n[[lines]]\nname = \"c\"\n"},
		"a corner": {insert("zones[0].shape", 1, Change{"", `["2 m", "0 m"]`}), `"0 m"], # first`,
			`"0 m"], ["2 m", "0 m"], # first`},
		"a first corner": {insert("zones[0].shape", 0, Change{"", `["2 m", "0 m"]`}), `[["0 m"`,
			`[["2 m", "0 m"], ["0 m"`},
		"a table away": {remove("zones[0]"),
			listed[strings.Index(listed, "[[zones]]\nname"):strings.Index(listed, "\n[[zones]] #")], ""},
		"the last away": {remove("zones[1]"),
			listed[strings.Index(listed, "[[zones]] #"):strings.Index(listed, "# what")], ""},
		"a key away":        {remove("tile"), "tile = \"600 mm\" # of a floor\n", ""},
		"a corner away":     {remove("zones[0].shape[1]"), "[\"1 m\", \"0 m\"],\n  ", "\n  "},
		"the last corner":   {remove("zones[0].shape[2]"), ",\n  [\"1 m\", \"1 m\"]", ""},
		"a table of keys":   {remove("spread"), "[spread]\nat = \"5 mm\"\n", ""},
		"a list as a whole": {put("size", `["5 m", "4 m"]`), `["4.2 m", "3 m"]`, `["5 m", "4 m"]`},
		"a corner's value":  {put("zones[0].shape[1]", `["2 m", "3 m"]`), `["1 m", "0 m"]`, `["2 m", "3 m"]`},
		"one number of it":  {put("zones[0].shape[1][0]", `"2 m"`), `["1 m", "0 m"]`, `["2 m", "0 m"]`},
		"a key that is new": {put("zones[1].kind", `"camp"`), "name = \"b\"\n", "name = \"b\"\nkind = \"camp\"\n"},
	} {
		got, err := c.do()
		want := strings.Replace(listed, c.from, c.to, 1)
		if name == "a corner away" {
			want = strings.Replace(listed, "  [\"1 m\", \"0 m\"],\n", "  \n", 1)
		}
		if err != nil || string(got) != want || want == listed {
			t.Errorf("%s: %v\n%s\nwant\n%s", name, err, got, want)
		}
	}
	for name, do := range map[string]func() ([]byte, error){
		"what is not there": remove("zones[7]"), "a key that is not there": remove("zones[0].kind"), "all": remove(""),
		"no list": insert("tile", 0, Change{"", "1"}), "no value": put("tile", "600 mm"),
	} {
		if got, err := do(); err == nil {
			t.Errorf("%s: %s", name, got)
		}
	}
}

// Whatever is taken out of the files that come with the program, or put into them, the rest is as it was: its meaning,
// and each comment that is not inside what was taken.
func TestListsOfRealFilesKeepTheRest(t *testing.T) {
	files, err := filepath.Glob("../../../fields/*.toml")
	more, _ := filepath.Glob("../../../assets/robots/*.toml")
	if err != nil || len(files) < 4 || len(more) < 2 {
		t.Fatal(files, more, err)
	}
	done := 0
	for _, file := range slices.Concat(files, more) {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for list, items := range meaning(t, data) {
			tables, ok := items.([]any)
			for i := range tables {
				if _, table := tables[i].(map[string]any); !ok || !table {
					continue
				}
				keepsRest(t, file, data, list, i)
				done++
			}
		}
	}
	if done < 100 {
		t.Fatalf("only %d were tried", done)
	}
}

func keepsRest(t *testing.T, file string, data []byte, list string, i int) {
	path := fmt.Sprintf("%s[%d]", list, i)
	without, err := Remove(data, path)
	if err != nil {
		t.Fatalf("%s: %s: %v", file, path, err)
	}
	want := meaning(t, data)
	tables := slices.Delete(want[list].([]any), i, i+1)
	if want[list] = tables; len(tables) == 0 {
		delete(want, list)
	}
	if got := meaning(t, without); !reflect.DeepEqual(got, want) {
		t.Errorf("%s without %s:\n%v\nwant\n%v", file, path, got, want)
	}
	if rest, ok := outside(data, without); !ok || strings.Count("\n"+rest, "\n[[") > 1 {
		t.Errorf("%s without %s: more than it was taken:\n%s", file, path, rest)
	}
	with, err := Insert(data, list, i+1, []Change{{"name", `"x"`}, {"at", `["1 m", "2 m"]`}})
	if err != nil {
		t.Fatalf("%s: behind %s: %v", file, path, err)
	}
	want = meaning(t, data)
	want[list] = slices.Insert(want[list].([]any), i+1, any(map[string]any{"name": "x", "at": []any{"1 m", "2 m"}}))
	if got := meaning(t, with); !reflect.DeepEqual(got, want) {
		t.Errorf("%s with one behind %s:\n%v\nwant\n%v", file, path, got, want)
	}
	if _, ok := outside(with, data); !ok {
		t.Errorf("%s with one behind %s: more was changed", file, path)
	}
}

// outside is the one stretch that a text has more than another; false: they differ in more.
func outside(long, short []byte) (string, bool) {
	same := 0
	for same < len(short) && same < len(long) && long[same] == short[same] {
		same++
	}
	return string(long[same : len(long)-len(short)+same]), bytes.HasSuffix(long, short[same:])
}

func meaning(t *testing.T, data []byte) map[string]any {
	var all map[string]any
	if err := toml.Unmarshal(data, &all); err != nil {
		t.Fatalf("%v in\n%s", err, data)
	}
	return all
}

// Whatever good TOML it is given, what comes of taking out or putting in is good TOML, or an error.
func FuzzListed(f *testing.F) {
	for _, text := range []string{listed, "a = [[1, 2], {x = 1}]\r\n", "[[p]]\nq.r=1\n[p.s]\n[[p.t]]\nb=[]",
		"a={b=[{c=1}]}"} {
		for _, path := range []string{"zones", "zones[0].shape", "a", "a[1]", "p", "p[0].t", "a.b[0]"} {
			f.Add(text, path, 1)
		}
	}
	f.Fuzz(func(t *testing.T, text, path string, at int) {
		var before map[string]any
		if toml.Unmarshal([]byte(text), &before) != nil {
			t.Skip()
		}
		for _, do := range []func() ([]byte, error){
			func() ([]byte, error) { return Remove([]byte(text), path) },
			func() ([]byte, error) { return Insert([]byte(text), path, at, []Change{{"name", "1"}}) },
			func() ([]byte, error) { return Put([]byte(text), path, "1") },
		} {
			if got, err := do(); err == nil {
				meaning(t, got)
			}
		}
	})
}
