//go:build unix

package program

import (
	"os"
	"os/exec"
	"strconv"
	"syscall"
)

// killGroup ends a child and all that is in its process group.
func killGroup(child *os.Process) { syscall.Kill(-child.Pid, syscall.SIGKILL) }

// guard has a shell end the child's process group, and what is marked as the child's, when Chalkfield is killed and can
// no more: its input ends then. Without a shell the child alone ends, by its own input. release is for when all are
// gone.
func guard(child *os.Process, mark string) (release func()) {
	theirs, ours, err := os.Pipe()
	if err != nil {
		return func() {}
	}
	defer theirs.Close()
	shell := exec.Command("/bin/sh", "-c", `read -r line; kill -s KILL -- "-$0"; `+endMarked,
		strconv.Itoa(child.Pid), mark)
	shell.Stdin = theirs
	shell.SysProcAttr = &syscall.SysProcAttr{Setpgid: true} // an interrupt in the terminal is not for it
	if shell.Start() != nil {
		ours.Close()
		return func() {}
	}
	return func() {
		shell.Process.Kill()
		shell.Wait()
		ours.Close()
	}
}
