package tomlfile_test

import (
	"strings"
	"testing"
)

// Each slip is told in plain words, with what to write; below stands the line, with a caret under the place.
func TestSlips(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"tile = 600 mm", `:1:12: a value with a unit stands in quotes: write "600 mm"`},
		{"tile = -5deg # turned", `a value with a unit stands in quotes: write "-5deg"`},
		{"edge = ['1 mm', 2 mm]", `a value with a unit stands in quotes: write "2 mm"`},
		{"tile = -Inf mm", "a number is finite: write its digits"},
		{"title = Our yard # ours", `:1:9: a text stands in quotes: write "Our yard"`},
		{"title = \"Yard", `the text has no end: write " where it ends`},
		{"title = 'Yard", `the text has no end: write ' where it ends`},
		{"title = \"the \"yard\"\"", `a " inside a text is written \"`},
		{"title = \"C:\\dir\"", `write \\, or the text in '...'`},
		{"title = “Yard”", `“ is no quote of TOML: write straight quotes`},
		{"[gate\nwidth = '1 m'", "write [gate]"},
		{"[[poles]\nrings = 1", "the brackets are not closed: write [[poles]]"},
		{"[poles]]\nrings = 1", "write [poles] for one table, [[poles]] for each of several"},
		{"[]", "the name in the brackets is missing"},
		{"edge = ['1 mm', '2 mm'\ntile = '1 m'", ":2:1: the list before this has no end: write ] there"},
		{"edge = ['1 mm' '2 mm']", "a comma is missing before this"},
		{"edge = ['1 mm']]", "there is one ] too many"},
		{"gate = {width = '1 m'\ntile = '1 m'", "the inline table before this has no end: write } there"},
		{"tile '600 mm'", "the = is missing: write tile = '600 mm'"},
		{"tile: '600 mm'", "write = in place of : as in tile = '600 mm'"},
		{"tile == '600 mm'", "one = is enough"},
		{"tile", "tile stands alone: write tile = and its value"},
		{"tile =\ntitle = 'a'", "the value is missing: write it behind the ="},
		{"tile = # later", "the value is missing: write it behind the ="},
		{"= 5", "the key is missing before the ="},
		{"my tile = '600 mm'", "a key has no blanks: write my_tile"},
		{"tile = '1 m'\ntile = '2 m'", `:2:1: tile: the key "tile" is given twice in one table: leave one out`},
		{"[gate]\nwidth = '1 m'\n[gate]\n", ":3:2: gate: the table [gate] begins twice"},
		{"[poles]\nrings = 1\n[poles]\n", ":3:2: poles: there may be several of these, so each begins with two brackets: " +
			"write [[poles]]"},
		{"[poles]\nrings = 1\n[[poles]]\n", ":3:3: poles: there may be several of these, so each begins with two brackets: " +
			"write [[poles]]"},
		{"[[poles]]\nrings = 1\n[poles]\n", ":3:2: poles: there may be several of these, so each begins with two brackets: " +
			"write [[poles]]"},
		{"[[poles]]\n[poles.flag]\n[poles.flag]\n", ":3:2: poles.flag: the table [poles.flag] begins twice: for another of " +
			"the poles write [[poles]] above this, else"},
		{"[[gate]]\n[gate]\n", "the same name stands for different things"},
		{"poles = 1\n[[poles]]\n", "there may be several of these"},
		{"fixed = True", "write true or false, in small letters"},
		{"fixed = yes", "write true or false, in small letters"},
		{"title = 'a';", "no ; stands behind a value"},
		{"title = 'a' // the yard", "a comment begins with #: write # in place of //"},
		{"-- the yard", "a comment begins with #: write # in place of --"},
		{"title = 'a' tile = '1 m'", "each key begins a line of its own"},
		{"grip = .5", "write 0.5 or 5.0"},
		{"grip = 1,5", "write a decimal point in place of the comma"},
		{"grip = 05", "a number does not begin with 0"},
	} {
		_, _, err := decode(t, c.text)
		if err == nil {
			t.Errorf("%s: no error", c.text)
			continue
		}
		lines := strings.Split(err.Error(), "\n")
		if len(lines) != 3 || !strings.HasPrefix(lines[0], "yard.toml:") || !strings.Contains(lines[0], c.want) ||
			strings.Contains(lines[0], "U+") {
			t.Errorf("%s\ngot  %v\nwant %s", c.text, err, c.want)
		}
	}
}

// The caret stands under the place, whatever comes before it in the line.
func TestExcerpt(t *testing.T) {
	for text, want := range map[string]string{
		"title = 'a'\n\ttile = 6 mm": "\n  2 |  tile = 6 mm\n    |           ^",
		"title = 'äöü' x":            "\n  1 | title = 'äöü' x\n    |               ^",
		"title = '芯芯' x":             "\n  1 | title = '芯芯' x\n    |                ^",
		"title = '" + strings.Repeat("a", 200) + "' x" + strings.Repeat("b", 200): "\n  1 | ..." + strings.Repeat("a", 58) +
			"' x" +
			strings.Repeat("b", 39) + "...\n    | " + strings.Repeat(" ", 63) + "^",
	} {
		_, _, err := decode(t, text)
		if err == nil || !strings.HasSuffix(err.Error(), want) {
			t.Errorf("got  %v\nwant ...%s", err, want)
		}
	}
}
