//go:build unix

package command

import (
	"bytes"
	"context"
	"io"
	"net"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// soon fails a test whose command does not end by itself.
func soon(t *testing.T, args ...string) (code int, trouble string) {
	t.Helper()
	type end struct {
		code    int
		trouble string
	}
	ended := make(chan end, 1)
	go func() {
		var stderr bytes.Buffer
		code := run(context.Background(), args, streams{out: io.Discard, err: &stderr})
		ended <- end{code, stderr.String()}
	}()
	select {
	case e := <-ended:
		return e.code, e.trouble
	case <-time.After(hanging):
		t.Fatalf("%v: still waiting", args)
		return 0, ""
	}
}

// A pipe that nobody writes to or reads would keep a command for ever, a device never ends: each is one clear error.
func TestOnlyRegularFilesAreRead(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	for _, name := range []string{"p.toml", "p.lua", "p.csv", "p.jsonl", "p.check.toml", "p.trials", "plan.golden.jsonl",
		"p.png"} {
		if err := syscall.Mkfifo(name, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	socket, err := net.Listen("unix", "s.toml")
	if err != nil {
		t.Fatal(err)
	}
	defer socket.Close()
	for _, device := range []string{"d.toml", "d.csv"} {
		if err := os.Symlink(os.DevNull, device); err != nil {
			t.Fatal(err)
		}
	}
	for name, text := range map[string]string{
		"near.lua": nearLua,
		"gold.check.toml": "routine = \"near.lua\"\nfield = \"practice_yard\"\n[[cases]]\nname = \"a\"\nnominal = " +
			"true\ngolden = \"plan.golden.jsonl\"\n",
	} {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	const pipe = "it is a pipe, not a file: write what comes out of it into a file, and name that"
	for _, c := range []struct{ args, want string }{
		{"run near.lua --robot p.toml", "chalkfield: p.toml: cannot be read: " + pipe},
		{"run near.lua --field ./p.toml", "./p.toml: cannot be read: " + pipe},
		{"run near.lua --pad p.csv", "p.csv: cannot be read: " + pipe},
		{"run near.lua --opponent p.lua", "p.lua: not a file"},
		{"run near.lua --opponent p.jsonl", "p.jsonl: cannot be read: " + pipe},
		{"run p.lua", "p.lua: not a file"},
		{"show p.toml", "p.toml: cannot be read: " + pipe},
		{"show p.jsonl", "p.jsonl: cannot be read: " + pipe},
		{"show p.jsonl --source", "p.jsonl: cannot be read: " + pipe},
		{"show p.lua --source", "p.lua: cannot be read: " + pipe},
		{"show d.toml", "d.toml: cannot be read: it is a device, not a file"},
		{"show s.toml", "s.toml: cannot be read: it is a socket, not a file"},
		{"run near.lua --pad d.csv", "d.csv: cannot be read: it is a device, not a file"},
		{"run near.lua --pad .", ".: cannot be read: it is a folder: name a file in it"},
		{"run near.lua --field practice_yard --record p.jsonl",
			"p.jsonl: cannot be written: it is a pipe that nothing reads: name a file"},
		{"run near.lua --field practice_yard --picture p.png",
			"p.png: cannot be written: it is a pipe that nothing reads: name a file"},
		{"fit p.toml p.csv", "p.toml: cannot be read: " + pipe},
		{"fit hauler p.csv", "p.csv: cannot be read: " + pipe},
		{"fit hauler d.csv", "d.csv: cannot be read: it is a device, not a file"},
		{"check p.check.toml", "could not be judged"},
		{"check gold.check.toml", "could not be judged"},
		{"merge p.trials", "p.trials: not a study file of Chalkfield: " + pipe},
		{"trials near.lua --field practice_yard -n 2 --out p.trials", pipe},
		{"sweep near.lua --field p.toml --x robot:battery.open=12,13", "p.toml: cannot be read: " + pipe},
	} {
		if code, trouble := soon(t, strings.Fields(c.args)...); code != inputWrong || !strings.Contains(trouble, c.want) {
			t.Errorf("%s: exit code %d\ngot  %swant %s", c.args, code, trouble, c.want)
		}
	}
	for _, name := range []string{"p.jsonl", "plan.golden.jsonl"} {
		if info, err := os.Lstat(name); err != nil || info.Mode()&os.ModeNamedPipe == 0 {
			t.Errorf("%s is no pipe any more: %v", name, err)
		}
	}
}

// What hangs all the same (here: on a pipe whose reader does not read) is ended by an interrupt.
func TestAnInterruptEndsWhatHangs(t *testing.T) {
	dir := t.TempDir()
	pipe := filepath.Join(dir, "out.jsonl")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	reader, err := os.OpenFile(pipe, os.O_RDWR, 0) // so that it opens
	if err != nil {
		t.Fatal(err)
	}
	defer reader.Close()
	child, stderr := started(t, "run", "--record", pipe)
	first := make([]byte, 1)
	if _, err := reader.Read(first); err != nil { // it writes now, and no one reads on
		t.Fatal(err)
	}
	if err := child.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if code := ended(t, child); code != interrupted || !strings.Contains(stderr.String(), "interrupted") {
		t.Errorf("exit code %d, %s", code, stderr.String())
	}
}
