package command

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A file's name is shown, not obeyed; and a file that is copied out by --source comes byte for byte.
func TestNamesAreShownAndSourcesCopied(t *testing.T) {
	var out, err bytes.Buffer
	for _, args := range [][]string{{"run", "bad\x1b[31m.lua"}, {"show", "\u202e.toml"}, {"\x1b[2J"},
		{"run", "--\x1b[2J"}, {"check", "\x1b[2J"}} {
		if code := Main(args, &out, &err); code != inputWrong {
			t.Errorf("%q: exit code %d", args, code)
		}
	}
	if text := out.String() + err.String(); strings.ContainsAny(text, "\x1b\u202e") ||
		!strings.Contains(text, `bad\x1b[31m.lua: no such file`) {
		t.Errorf("printed %q", text)
	}
	const source = "-- \x1b[1m\r\nreturn routine { start = {x = 600, y = 450, heading = 0}, auto = function(bot) end }\n"
	path := filepath.Join(t.TempDir(), "mine.lua")
	if err := os.WriteFile(path, []byte(source), 0o600); err != nil {
		t.Fatal(err)
	}
	out.Reset()
	if code := Main([]string{"show", path, "--source"}, &out, &err); code != held || out.String() != source {
		t.Errorf("--source: exit code %d, %q", code, out.String())
	}
}
