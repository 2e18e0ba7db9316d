package program

import "syscall"

// apart has a child lead a process group of its own, so that an interrupt in the terminal is Chalkfield's to pass on,
// and has the kernel end it when Chalkfield is killed.
func apart() *syscall.SysProcAttr {
	return &syscall.SysProcAttr{Setpgid: true, Pdeathsig: syscall.SIGKILL}
}
