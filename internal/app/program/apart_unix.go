//go:build unix && !linux

package program

import "syscall"

// apart has a child lead a process group of its own, so that an interrupt in the terminal is Chalkfield's to pass on.
// When Chalkfield is killed, the child's input ends.
func apart() *syscall.SysProcAttr { return &syscall.SysProcAttr{Setpgid: true} }

// killMarked does nothing: these systems show nobody another process's environment. What leaves the program's process
// group stays.
func killMarked(string) {}

const endMarked = ""
