package program

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"chalkfield/scripting"
	"chalkfield/scripting/talk"
)

// process is a program that runs: one child in a process group of its own.
type process struct {
	kind  *kind
	ready talk.Ready
	said  string // the line of ready

	command *exec.Cmd
	mark    string // a member of its environment, and so of its children's
	input   *os.File
	output  *os.File
	tail    *tail
	asks    chan ask
	replies chan reply
	served  bool // a rehearsal
	once    sync.Once
	over    chan struct{} // closed when it is to end
	ended   chan struct{} // closed when it is gone and its group is killed
	status  error         // how it ended; set before
	heard   chan struct{} // closed when its standard error is read to the end
}

// ask is a line for the program; silent: it is not answered.
type ask struct {
	line   []byte
	silent bool
}

// reply is a line of the program, or why there is none.
type reply struct {
	line []byte
	err  error
}

var (
	errClosed = errors.New("the program was ended, because Chalkfield ends")
	errEnded  = errors.New("ended") // its output has an end: see trouble
)

// grace is how long a program may take to end by itself when its input has ended, and the last of its standard error to
// arrive when it is gone.
const grace = 300 * time.Millisecond

// launch starts the child.
func (k *kind) launch() (*process, error) {
	p := &process{kind: k, tail: &tail{}, asks: make(chan ask, 4), replies: make(chan reply, 1),
		over: make(chan struct{}), ended: make(chan struct{}), heard: make(chan struct{})}
	var theirs [3]*os.File // the child's ends: input, output, error
	var complaints *os.File
	var err error
	defer func() {
		for _, f := range theirs {
			f.Close() // of a nil file it is an error, and nothing else
		}
	}()
	if theirs[0], p.input, err = os.Pipe(); err != nil {
		return nil, err
	}
	if p.output, theirs[1], err = os.Pipe(); err != nil {
		return nil, err
	}
	if complaints, theirs[2], err = os.Pipe(); err != nil {
		return nil, err
	}
	p.command = exec.Command(k.argv[0], k.argv[1:]...)
	p.command.Dir = k.dir
	p.mark = newMark()
	p.command.Env = append(p.command.Environ(), p.mark)
	p.command.Stdin, p.command.Stdout, p.command.Stderr = theirs[0], theirs[1], theirs[2]
	p.command.SysProcAttr = apart()
	started := make(chan error)
	go p.live(started)
	if err := <-started; err != nil {
		for _, f := range []*os.File{p.input, p.output, complaints} {
			f.Close()
		}
		return nil, unstartable(k.argv[0], err)
	}
	go p.listen(complaints)
	go p.talk()
	return p, nil
}

func unstartable(name string, err error) error {
	if errors.Is(err, os.ErrNotExist) && strings.ContainsAny(name, `/\`) {
		return fmt.Errorf("%q cannot be started: there is no such file: build it first, as with "+
			"g++ -std=c++17 -O2 -o robot robot.cpp, and name it from the folder in which you are", name)
	}
	if errors.Is(err, exec.ErrNotFound) || errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("%q cannot be started: there is no such program; is it installed, and its name right?", name)
	}
	var path *os.PathError
	var lookup *exec.Error
	switch {
	case errors.As(err, &path):
		err = path.Err
	case errors.As(err, &lookup):
		err = lookup.Err
	}
	return fmt.Errorf("%q cannot be started: %w", name, err)
}

// live starts the child and waits for its end, on one thread: on Linux the child's death signal is sent when the thread
// that started it is gone.
func (p *process) live(started chan<- error) {
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	err := p.command.Start()
	started <- err
	if err != nil {
		return
	}
	release := guard(p.command.Process, p.mark)
	p.status = p.command.Wait()
	killGroup(p.command.Process) // what it left behind
	killMarked(p.mark)           // and what left its group
	release()
	close(p.ended)
}

// listen reads the standard error for ever, so that the program never waits for it.
func (p *process) listen(from *os.File) {
	defer close(p.heard)
	defer from.Close()
	go func() {
		<-p.ended
		time.Sleep(grace) // one that left its group may hold it open
		from.SetReadDeadline(time.Now())
	}()
	io.Copy(io.MultiWriter(p.tail, p.kind.owner.heard), from)
}

// talk writes lines and reads the answers, in lockstep.
func (p *process) talk() {
	in := bufio.NewReaderSize(p.output, 1<<16)
	for {
		var a ask
		select {
		case a = <-p.asks:
		case <-p.over:
			return
		}
		_, err := p.input.Write(a.line)
		if a.silent {
			continue // a program that is gone shows when it is asked
		}
		r := reply{err: errEnded}
		if err == nil {
			r.line, r.err = readLine(in)
		}
		p.replies <- r
		if r.err != nil {
			return
		}
	}
}

// readLine reads a line of at most talk.MaxLine bytes, without its end.
func readLine(in *bufio.Reader) ([]byte, error) {
	var line []byte
	for {
		part, err := in.ReadSlice('\n')
		if len(line)+len(part) > talk.MaxLine {
			return nil, fmt.Errorf("the program wrote a line of more than %d MB: an answer is one short line", talk.MaxLine>>20)
		}
		line = append(line, part...)
		switch {
		case err == nil:
			return slices.Clip(line[:len(line)-1]), nil
		case !errors.Is(err, bufio.ErrBufferFull):
			return nil, errEnded
		}
	}
}

// write gives the program a line that it does not answer.
func (p *process) write(line []byte) {
	select {
	case p.asks <- ask{line, true}:
	default: // it reads nothing: it shows when it is asked
	}
}

// exchange gives the program a line and waits for its answer.
func (p *process) exchange(line []byte, patience time.Duration) ([]byte, error) {
	timer := time.NewTimer(patience)
	defer timer.Stop()
	select {
	case p.asks <- ask{line, false}:
	case <-p.over:
		return nil, errEnded
	case <-timer.C:
		return nil, silent(patience)
	}
	select {
	case r := <-p.replies:
		return r.line, r.err
	case <-p.over:
		return nil, errEnded
	case <-timer.C:
		return nil, silent(patience)
	}
}

func silent(patience time.Duration) error {
	return fmt.Errorf("the program gave no answer for %g s: does it sleep, wait for something else, or keep its output "+
		"back (flush it)? --patience gives it longer", patience.Seconds())
}

// trouble ends the program, and is an error with what it said last.
func (p *process) trouble(err error) error {
	var known *scripting.Trouble
	if errors.As(err, &known) {
		return err
	}
	died := false
	if errors.Is(err, errEnded) { // its output has an end; so it will have one too
		select {
		case <-p.ended:
			died = p.status != nil
			err = fmt.Errorf("the program ended instead of answering (%s)", p.how())
		case <-time.After(max(grace, p.kind.patience)):
			err = errors.New("the program closed its standard output instead of answering")
		}
	}
	p.kill()
	if p.kind.owner.isClosed() {
		return errClosed
	}
	trouble := &scripting.Trouble{What: err.Error(), Said: p.tail.lines()}
	if died { // else what it wrote last need not be about this
		reason, at := lastWords(p.tail.all(), p.kind.home)
		if trouble.At = at; reason != "" {
			trouble.What += ": " + reason
		}
	}
	return trouble
}

// how is how it ended.
func (p *process) how() string {
	if p.status == nil {
		return "exit status 0"
	}
	return p.status.Error()
}

// hangUp ends the program's input.
func (p *process) hangUp() { p.once.Do(func() { close(p.over); p.input.Close() }) }

// kill ends the program and all of its group, and returns when it is gone. One that heeds the end of its input may go
// by itself.
func (p *process) kill() {
	p.hangUp()
	select {
	case <-p.ended:
	case <-time.After(grace):
		killGroup(p.command.Process)
		<-p.ended
	}
	select {
	case <-p.heard:
	case <-time.After(2 * grace):
	}
	p.output.Close()
}
