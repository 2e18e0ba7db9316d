package atomicfile

import (
	"errors"
	"io"
	"net"
	"os"
	"path/filepath"
	"strings"
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

func TestALinkIsFollowed(t *testing.T) {
	folder := t.TempDir()
	target, link := filepath.Join(folder, "target"), filepath.Join(folder, "link")
	if err := os.WriteFile(target, []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(target, link); err != nil {
		t.Skip("no links here:", err)
	}
	if err := Write(link, func(w io.Writer) error { _, err := io.WriteString(w, "new"); return err }); err != nil {
		t.Fatal(err)
	}
	data, _ := os.ReadFile(target)
	info, err := os.Lstat(link)
	if string(data) != "new" || err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("target holds %q, the link is %v", data, info.Mode())
	}
}

// A device must stay one, whoever runs this.
func TestADeviceIsWrittenToNotReplaced(t *testing.T) {
	if err := Write(os.DevNull, func(w io.Writer) error { _, err := io.WriteString(w, "x"); return err }); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(os.DevNull); err != nil || info.Mode().IsRegular() {
		t.Errorf("%s is now %v, %v", os.DevNull, info.Mode(), err)
	}
}

func TestErrorsNameThePathThatWasAskedFor(t *testing.T) {
	folder := t.TempDir()
	for path, want := range map[string]string{
		folder:                           ": cannot be written: it is a folder",
		filepath.Join(folder, "no", "x"): ": cannot be written: no such file or directory",
	} {
		err := Write(path, func(io.Writer) error { return nil })
		if err == nil || err.Error() != path+want {
			t.Errorf("got %v, want %s%s", err, path, want)
		}
	}
}

func TestAMissingFolderIsAnError(t *testing.T) {
	path := filepath.Join(t.TempDir(), "no", "out.txt")
	if err := Write(path, func(io.Writer) error { return nil }); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("got %v, want that the folder does not exist", err)
	}
}

func TestNothingIsWrittenToWhatIsNoFile(t *testing.T) {
	dir := t.TempDir()
	circle, socket := filepath.Join(dir, "circle"), filepath.Join(dir, "socket")
	if err := os.Symlink(circle, circle); err != nil {
		t.Fatal(err)
	}
	listener, err := net.Listen("unix", socket)
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	for _, path := range []string{circle, socket} {
		err := Write(path, func(io.Writer) error { t.Errorf("%s is filled", path); return nil })
		if err == nil || !strings.HasPrefix(err.Error(), path+": cannot be written: ") {
			t.Errorf("%s: %v", path, err)
		}
	}
}
