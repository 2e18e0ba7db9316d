package command

import (
	"strings"
	"testing"
	"unicode/utf8"

	"chalkfield/assets"
)

func TestPlainText(t *testing.T) {
	cases := []struct{ name, markdown, want string }{
		{"title", "# The *field* file", "The field file\n==============\n"},
		{"section", "## `[air]`", "`[air]`\n-------\n"},
		{"paragraph", "one two three four\nfive six seven", "one two three four\nfive six seven\n"},
		{"paragraph set anew", "one two three four five\nsix", "one two three four\nfive six\n"},
		{"link", "see [the `robot` page](robot.md#air)", "see the `robot` page\n"},
		{"picture", "![The window](w.png)", ""},
		{"picture between paragraphs", "one\n\n![The window](w.png)\n\ntwo", "one\n\ntwo\n"},
		{"strong", "**all** and *some*", "all and some\n"},
		{"code is not touched", "`*.toml` and `a*b`", "`*.toml` and `a*b`\n"},
		{"list", "- one two three four five\n  six\n- seven", "- one two three four\n  five six\n- seven\n"},
		{"numbers", "1. one two three four five\n2. six", "1. one two three\n   four five\n2. six\n"},
		{"quotation", "> one two three four\n> five", "  one two three four\n  five\n"},
		{"block", "```lua\n-- a line far longer than the page is wide\n```\nend",
			"    -- a line far longer than the page is wide\nend\n"},
		{"indented", "    as it is, wider than that", "    as it is, wider than that\n"},
		{"table", "| a | b |\n|---|---|\n| one | `x` |\n| | two |", "a    b\n-    -\none  `x`\n     two\n"},
		{"a wide cell gives way", "| a | b |\n|---|---|\n| one | two three four five |",
			"a    b\n-    -\none  two three four\n     five\n"},
		{"a bar in a cell", "| a |\n|---|\n| `x\\|y` |", "a\n-\n`x|y`\n"},
		{"a long word stays whole", "| a | b |\n|---|---|\n| incomprehensible | two three |",
			"a                 b\n-                 -\nincomprehensible  two\n                  three\n"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := plainText(c.markdown, 20); got != c.want {
				t.Errorf("got\n%s\nwant\n%s", got, c.want)
			}
		})
	}
}

// Every page fits a terminal of 80 columns but for its examples, and keeps every word.
func TestGuidePagesFitATerminal(t *testing.T) {
	const width = 80
	for _, name := range assets.GuidePages {
		page, err := assets.GuidePage(name)
		if err != nil {
			t.Fatal(err)
		}
		plain := plainText(page, width)
		for _, line := range strings.Split(plain, "\n") {
			if utf8.RuneCountInString(line) > width && !strings.HasPrefix(line, "    ") {
				t.Errorf("%s: %q is wider than %d", name, line, width)
			}
		}
		if before, after := letters(page), letters(plain); after > before || after < before*9/10 {
			t.Errorf("%s: %d letters and digits of %d are left", name, after, before)
		}
	}
}

// letters counts what a reader reads: no spaces, marks and lines.
func letters(text string) int {
	n := 0
	for _, r := range text {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			n++
		}
	}
	return n
}
