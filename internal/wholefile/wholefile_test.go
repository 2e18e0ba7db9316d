package wholefile

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"
)

func TestAFailedWriteLeavesTheOldFileAndNothingElse(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "out.txt")
	put := func(text string, err error) error {
		return Write(path, func(w io.Writer) error { io.WriteString(w, text); return err })
	}
	if err := put("old", nil); err != nil {
		t.Fatal(err)
	}
	trouble := errors.New("trouble")
	if err := put("half of the n", trouble); !errors.Is(err, trouble) {
		t.Errorf("got %v, want the filling function's error", err)
	}
	data, err := os.ReadFile(path)
	if err != nil || string(data) != "old" {
		t.Errorf("the file holds %q, %v; want the old content", data, err)
	}
	if entries, _ := os.ReadDir(folder); len(entries) != 1 {
		t.Errorf("%d files left, want the one", len(entries))
	}
}

func TestAMissingFolderIsAnError(t *testing.T) {
	path := filepath.Join(t.TempDir(), "no", "out.txt")
	if err := Write(path, func(io.Writer) error { return nil }); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("got %v, want that the folder does not exist", err)
	}
}
