//go:build unix

package program

import (
	"os"
	"syscall"
)

// killGroup ends a child and all that is in its process group.
func killGroup(child *os.Process) { syscall.Kill(-child.Pid, syscall.SIGKILL) }
