package atomicfile

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"
)

func TestSameKnowsAFileByOtherNames(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, name := range []string{"a", "b"} {
		if err := os.WriteFile(name, nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink("a", "link"); err != nil {
		t.Fatal(err)
	}
	absolute, err := filepath.Abs("new")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"a", "./a", true}, {"a", "link", true}, {"a", "b", false}, {"link", "b", false},
		{"new", "./x/../new", true}, {"new", absolute, true}, {"new", "a", false}, // a file that is yet to be written
	} {
		if got := Same(c.a, c.b); got != c.want {
			t.Errorf("%s and %s: %v", c.a, c.b, got)
		}
	}
}

func TestNoFileSaysWhatItIs(t *testing.T) {
	for mode, want := range map[fs.FileMode]string{
		fs.ModeNamedPipe: "it is a pipe, not a file: write what comes out of it into a file, and name that",
		fs.ModeSocket:    "it is a socket, not a file", fs.ModeDevice: "it is a device, not a file",
		fs.ModeDir: "it is a folder: name a file in it",
	} {
		if err := NoFile(mode); err == nil || err.Error() != want {
			t.Errorf("%v: %v", mode, err)
		}
	}
	if err := NoFile(0o644); err != nil {
		t.Errorf("a regular file: %v", err)
	}
}
