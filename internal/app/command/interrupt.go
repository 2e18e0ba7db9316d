package command

import (
	"context"
	"os"
	"os/signal"
	"syscall"
	"time"
)

// patience is how long a command may take to end by itself after an interrupt.
const patience = 1800 * time.Millisecond

// interruptible is a context that an interrupt cancels. A command that is then still at work after patience (it hangs
// on a pipe, a network drive, a library) is ended by force, as it is by a second interrupt. stop ends the watch: the
// command is done.
func interruptible(force func()) (ctx context.Context, stop func()) {
	ctx, cancel := context.WithCancel(context.Background())
	signals, done := make(chan os.Signal, 2), make(chan struct{})
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM) // schedulers end tasks with the latter
	go func() {
		select {
		case <-done:
			return
		case <-signals:
			cancel()
		}
		select {
		case <-done:
		case <-signals:
			force()
		case <-time.After(patience):
			force()
		}
	}()
	return ctx, func() {
		signal.Stop(signals)
		close(done)
		cancel()
	}
}
