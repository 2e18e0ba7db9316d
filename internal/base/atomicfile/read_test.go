package atomicfile

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
)

func TestReadRefusesWhatIsTooLarge(t *testing.T) {
	kind := Kind{"a note", 2 << 10}
	path := filepath.Join(t.TempDir(), "note")
	for _, c := range []struct {
		size int64
		want string
	}{
		{0, ""}, {2048, ""},
		{2049, "it has 2.001 kB, and a note may have at most 2 kB"},
		{1 << 30, "it has 1024 MB, and a note may have at most 2 kB"}, // a hole: takes no room
	} {
		if err := os.WriteFile(path, nil, 0o644); err != nil {
			t.Fatal(err)
		}
		if err := os.Truncate(path, c.size); err != nil {
			t.Fatal(err)
		}
		data, err := Read(path, kind)
		switch {
		case c.want == "" && (err != nil || int64(len(data)) != c.size):
			t.Errorf("%d bytes: got %d, %v", c.size, len(data), err)
		case c.want != "" && (err == nil || Cause(err).Error() != c.want):
			t.Errorf("%d bytes: got %v, want %s", c.size, err, c.want)
		}
	}
}

// A file that grows while it is read ends at the limit.
func TestAFileThatGrowsIsCutOff(t *testing.T) {
	kind := Kind{"a note", 100}
	path := filepath.Join(t.TempDir(), "note")
	if err := os.WriteFile(path, bytes.Repeat([]byte("x"), 100), 0o644); err != nil {
		t.Fatal(err)
	}
	file, err := Open(path, kind)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	more, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		t.Fatal(err)
	}
	more.WriteString("y")
	more.Close()
	if _, err := io.ReadAll(file); err == nil || err.Error() != "it has 0.09863 kB, and a note may have at "+
		"most 0.09766 kB" {
		t.Errorf("got %v", err)
	}
}

func TestOpenSaysWhatIsNoFile(t *testing.T) {
	for path, want := range map[string]string{
		os.DevNull:  "it is a device, not a file",
		t.TempDir(): "it is a folder: name a file in it",
	} {
		if _, err := Open(path, TOML); err == nil || Cause(err).Error() != want {
			t.Errorf("%s: got %v, want %s", path, err, want)
		}
	}
	if _, err := Open(filepath.Join(t.TempDir(), "no"), TOML); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a missing file gives %v", err)
	}
}

// The guide's page commands has the limit of every kind of file that a user hands in.
func TestTheGuideHasTheLimits(t *testing.T) {
	page, err := os.ReadFile("../../../assets/guide/commands.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, kind := range []Kind{TOML, Routine, Pad, Record, Golden, Study, Log} {
		if row := "\n| " + kind.Name + " | " + megabytes(kind.Most); !bytes.Contains(page, []byte(row)) {
			t.Errorf("assets/guide/commands.md lacks the row %q", row)
		}
	}
}

func TestWithinCountsWhatIsThereAlready(t *testing.T) {
	var out bytes.Buffer
	w := Within(&out, Kind{"a note", 2 << 10}, 2000, "write less")
	if _, err := w.Write(make([]byte, 48)); err != nil {
		t.Error(err)
	}
	const want = "a note of more than 2 kB cannot be read back: write less"
	if _, err := w.Write([]byte("x")); err == nil || err.Error() != want || out.Len() != 48 {
		t.Errorf("%d bytes written; got %v, want %s", out.Len(), err, want)
	}
}
