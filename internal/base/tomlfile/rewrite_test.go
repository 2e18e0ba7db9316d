package tomlfile

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"chalkfield/internal/base/property"

	"github.com/pelletier/go-toml/v2"
	"pgregory.net/rapid"
)

var remark = Remark{Earlier: regexp.MustCompile(`[#;] was fitted .*`), Of: func(line []Change) string {
	var all []string
	for _, c := range line {
		all = append(all, c.Path)
	}
	return "# was fitted " + strings.Join(all, ", ")
}}

func TestRewriteKeepsWhatTheUserWrote(t *testing.T) {
	for _, c := range []struct {
		name, before string
		changes      []Change
		after        string
	}{
		{"a comment", "a = \"1 mm\" # mine\n", []Change{{"a", `"2 mm"`}}, "a = \"2 mm\" # mine; was fitted a\n"},
		{"an earlier one of ours", "a = 1  # mine; was fitted long ago\r\nb = 2\r\n", []Change{{"a", "3"}},
			"a = 3  # mine; was fitted a\r\nb = 2\r\n"},
		{"one of ours by an earlier version", "a = 1  # mine  # was fitted long ago", []Change{{"a", "3"}},
			"a = 3  # mine; was fitted a"},
		{"a sign in a string", "a = \"#\"\nb = '''\n# was fitted '''", []Change{{"a", "3"}, {"b", "4"}},
			"a = 3  # was fitted a\nb = 4  # was fitted b"},
		{"one line", "w = [{r = 1, t = \"]}#\"}, {r = 2}] # two\n[x]\n", []Change{{"w[0].r", "5"}, {"w[1].r", "6"}},
			"w = [{r = 5, t = \"]}#\"}, {r = 6}] # two; was fitted w[0].r, w[1].r\n[x]\n"},
		{"a list on several lines", "w = [\n  { r = 1 }, # left\n  { r = 2 },\n]\n", []Change{{"w[1].r", "6"}},
			"w = [\n  { r = 1 }, # left\n  { r = 6 },  # was fitted w[1].r\n]\n"},
		{"a key that is not there",
			"[d]\n\tgear    = 2  # teeth\n\n# about f\n[f]\n", []Change{{"d.drag", "3"}, {"f.x", "1"}},
			"[d]\n\tgear    = 2  # teeth\n\tdrag    = 3  # was fitted d.drag\n\n# about f\n[f]\nx = 1  # was fitted f.x\n"},
		{"aligned", "[d]\nlength = 2\nx      = 1\n[f]\n", []Change{{"d.wide", "3"}},
			"[d]\nlength = 2\nx      = 1\nwide   = 3  # was fitted d.wide\n[f]\n"},
		{"dotted", "d . gear=2\r\nt = 1\r\n", []Change{{"d.drag", "3"}},
			"d . gear=2\r\nd . drag=3  # was fitted d.drag\r\nt = 1\r\n"},
		{"in braces", "d = {gear=[1,\n 2]}\ne = {}\nf = { g.h = 1 }\n", []Change{{"d.x", "3"}, {"e.x", "4"}, {"f.g.x", "5"}},
			"d = {gear=[1,\n 2], x=3}  # was fitted d.x\ne = { x = 4 }  # was fitted e.x\n" +
				"f = { g.h = 1, g.x = 5 }  # was fitted f.g.x\n"},
		{"tables that are not there", "t = 1", []Change{{"d.x", "3"}, {"d.y", "4"}, {"m[0].z", "5"}, {"m[0].q", "6"}},
			"t = 1\n\n[d]\nx = 3  # was fitted d.x\ny = 4  # was fitted d.y\n\n[[m]]\nz = 5  # was fitted m[0].z\n" +
				"q = 6  # was fitted m[0].q\n"},
		{"the last line", "[d] # here", []Change{{"d.x", "3"}}, "[d] # here\nx = 3  # was fitted d.x"},
		{"parts of a list", "[[p]]\nname = \"arm\"\n[p.lift]\na = 1\n[[p]]\nlift.a = 1\n",
			[]Change{{"p[0].lift.b", "3"}, {"p[1].lift.b", "4"}},
			"[[p]]\nname = \"arm\"\n[p.lift]\na = 1\nb = 3  # was fitted p[0].lift.b\n[[p]]\n" +
				"lift.a = 1\nlift.b = 4  # was fitted p[1].lift.b\n"},
	} {
		got, err := Rewrite([]byte(c.before), c.changes, remark)
		if err != nil || string(got) != c.after {
			t.Errorf("%s: %v\n%q\nwant\n%q", c.name, err, got, c.after)
		}
		again, err := Rewrite(got, c.changes, remark)
		if err != nil || string(again) != string(got) {
			t.Errorf("%s, once more: %v\n%q\nwant\n%q", c.name, err, again, got)
		}
		var any map[string]any
		if err := toml.Unmarshal(got, &any); err != nil {
			t.Errorf("%s: no TOML any more: %v\n%s", c.name, err, got)
		}
	}
}

func TestRewriteRefusesWhatIsNotOneValue(t *testing.T) {
	for _, path := range []string{"w[*].r", "d", "none[3].x"} {
		if got, err := Rewrite([]byte("w = [{ r = 1 }]\n[d]\n"), []Change{{path, "2"}}, remark); err == nil {
			t.Errorf("%s: %s", path, got)
		}
	}
}

// drawn is a document that is written twice: as it is, and as it must be after the changes.
type drawn struct {
	t             *rapid.T
	before, after strings.Builder
	changes       []Change
	line          []Change // those of the line at hand
	end           string
}

func (d *drawn) one(label string, of ...string) string { return rapid.SampledFrom(of).Draw(d.t, label) }

func (d *drawn) both(text string) {
	d.before.WriteString(text)
	d.after.WriteString(text)
}

// value writes a value, changed or not.
func (d *drawn) value(path string) {
	old := d.one("old", `"45 mm"`, `'1.75 in'`, "12", "-0.5e3", `"a \" # ] } b"`, `'''3 kg'''`, `true`, `"""x"""`,
		"\"# was fitted no comment\"", "'''two # was fitted"+d.end+"lines'''")
	d.before.WriteString(old)
	if !rapid.Bool().Draw(d.t, "changed") {
		d.after.WriteString(old)
		return
	}
	c := Change{path, d.one("new", `"44.32 mm"`, "0.031", `'7 kg'`, `"#"`)}
	d.after.WriteString(c.Value)
	d.changes, d.line = append(d.changes, c), append(d.line, c)
}

// over ends a line, with a comment of the user's, one of ours, both or none.
func (d *drawn) over() {
	d.both(d.one("blank", "", " ", "\t "))
	own := d.one("comment", "", "", "# weighed", "#\"it's\" {[ #", "# ä € 机")
	d.both(own)
	earlier := d.one("earlier", "", "", "# was fitted 3 to 4 #", "; was fitted 3 to 4 #")
	if own == "" {
		earlier = strings.Replace(earlier, ";", "#", 1)
	}
	d.before.WriteString(earlier)
	switch {
	case len(d.line) == 0:
		d.after.WriteString(earlier)
	case own != "":
		d.after.WriteString(strings.Replace(remark.Of(d.line), "#", ";", 1))
	case earlier == "":
		d.after.WriteString("  " + remark.Of(d.line))
	default:
		d.after.WriteString(remark.Of(d.line))
	}
	d.line = nil
	d.both(d.end)
}

func (d *drawn) pair(path, key string) {
	d.both(d.one("indent", "", "", "  ", "\t") + key + d.one("is", " = ", "=", "  =\t"))
	d.value(path)
}

// table writes a table of some keys, as a header's, as dotted keys or in braces.
func (d *drawn) table(path, name string, header string) {
	keys := []string{"mass", "gear", `"quoted"`, "drag"}[:rapid.IntRange(1, 4).Draw(d.t, "keys")]
	of := func(key string) string { return path + "." + strings.Trim(key, `"`) }
	if header != "" {
		d.both(header)
		d.over()
		for _, key := range keys {
			d.filler()
			d.pair(of(key), key)
			d.over()
		}
		return
	}
	d.both(name + d.one("is", " = ", "=") + "{")
	d.braces(keys, of)
	d.both("}")
	d.over()
}

func (d *drawn) braces(keys []string, of func(string) string) {
	for i, key := range keys {
		if i > 0 {
			d.both(d.one("comma", ",", ", ", " ,\t"))
		}
		d.both(" " + key + " = ")
		d.value(of(key))
	}
	d.both(d.one("close", "", " "))
}

// filler is what stands between keys.
func (d *drawn) filler() {
	d.both(d.one("filler", "", "", d.end, "# mass = \"9 kg\""+d.end, "\t# was fitted to be kept"+d.end))
}

// list writes tables in braces in a list, on one line or several.
func (d *drawn) list(name string) {
	d.both(name + " = [")
	many := rapid.Bool().Draw(d.t, "several lines")
	for i := range rapid.IntRange(1, 3).Draw(d.t, "items") {
		if many {
			d.over()
			d.both("  ")
		}
		d.both("{")
		d.braces([]string{"radius", "train"}, func(key string) string { return fmt.Sprintf("%s[%d].%s", name, i, key) })
		d.both("},")
	}
	if many {
		d.over()
	}
	d.both("]")
	d.over()
}

func TestRewriteLeavesAllOtherBytesAlone(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		d := &drawn{t: t}
		d.end = d.one("line break", "\n", "\r\n")
		d.filler()
		d.pair("title", "title")
		d.over()
		d.both("about = \"\"\"" + d.end + "mass = \"6 kg\" # was fitted, no comment \\\"\"\" " + d.end + "\"\"\"\"\"")
		d.over()
		d.pair("dotted.mass", "dotted . mass")
		d.over()
		d.list("wheels")
		d.table("inline", "inline", "")
		for _, name := range []string{"chassis", "drive"} {
			d.filler()
			d.table(name, "", d.one("header", "["+name+"]", " [ "+name+" ]"))
		}
		for i := range rapid.IntRange(0, 3).Draw(t, "parts") {
			d.table(fmt.Sprintf("parts[%d]", i), "", "[[parts]]")
			d.table(fmt.Sprintf("parts[%d].lift", i), "", "[parts.lift]")
		}
		got, err := Rewrite([]byte(d.before.String()), d.changes, remark)
		if err != nil || string(got) != d.after.String() {
			t.Fatalf("%v\nof\n%s\ngot\n%s\nwant\n%s", err, d.before.String(), got, d.after.String())
		}
	})
}
