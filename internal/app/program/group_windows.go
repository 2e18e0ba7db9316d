package program

import (
	"os"
	"os/exec"
	"strconv"
	"syscall"
)

// apart has a child lead a process group of its own, so that an interrupt in the terminal is Chalkfield's to pass on.
// When Chalkfield is killed, the child's input ends.
func apart() *syscall.SysProcAttr {
	return &syscall.SysProcAttr{CreationFlags: syscall.CREATE_NEW_PROCESS_GROUP}
}

// killMarked does nothing: what has lost its parent stays.
func killMarked(string) {}

// killGroup ends a child with its children.
func killGroup(child *os.Process) {
	exec.Command("taskkill", "/T", "/F", "/PID", strconv.Itoa(child.Pid)).Run()
	child.Kill()
}

// guard: when Chalkfield is killed, the child's input ends.
func guard(*os.Process, string) (release func()) { return func() {} }
