package program

import (
	"bytes"
	"os"
	"path/filepath"
	"strconv"
	"syscall"
)

// apart has a child lead a process group of its own, so that an interrupt in the terminal is Chalkfield's to pass on,
// and has the kernel end it when Chalkfield is killed.
func apart() *syscall.SysProcAttr {
	return &syscall.SysProcAttr{Setpgid: true, Pdeathsig: syscall.SIGKILL}
}

// rounds is how often what is marked is looked for: one that begets another as it is found is met again.
const rounds = 20

// killMarked ends every process whose environment has the mark. A child of a program's may have left its process group
// and have another parent by now (setsid, and its own parent gone); its environment it keeps, unless it starts a
// program with another.
func killMarked(mark string) {
	for range rounds {
		if !endEach(mark) {
			return
		}
	}
}

// endEach reports whether there were any.
func endEach(mark string) bool {
	some := false
	files, _ := filepath.Glob("/proc/[0-9]*/environ") // the pattern is right
	for _, file := range files {
		environ, err := os.ReadFile(file) // of other users' processes it is an error
		if err != nil || !bytes.Contains(append([]byte{0}, environ...), []byte("\x00"+mark+"\x00")) {
			continue
		}
		if pid, err := strconv.Atoi(filepath.Base(filepath.Dir(file))); err == nil {
			some = syscall.Kill(pid, syscall.SIGKILL) == nil || some
		}
	}
	return some
}

// endMarked is the same for a shell, of the mark $1.
const endMarked = `for round in 1 2 3; do for p in $(grep -l -s -z -x -F -e "$1" /proc/[0-9]*/environ); do ` +
	`p=${p%/environ}; kill -s KILL "${p#/proc/}"; done; done`
