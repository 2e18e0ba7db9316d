package program

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"sync"

	"chalkfield/internal/base/wording"
)

// tail keeps the last of what a program writes to its standard error.
type tail struct {
	mutex sync.Mutex
	data  []byte
}

const (
	mostTail  = 8 << 10 // bytes
	mostLines = 12
	mostWidth = 400 // bytes of a line
)

// said keeps the first of what programs write to their standard error.
type said struct {
	mutex sync.Mutex
	data  []byte
	more  bool
}

// mostSaid is how much of it is passed on, in bytes.
const mostSaid = 64 << 10

// Write takes all, and keeps the beginning.
func (s *said) Write(data []byte) (int, error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	room := min(len(data), mostSaid-len(s.data))
	s.data = append(s.data, data[:room]...)
	s.more = s.more || room < len(data)
	return len(data), nil
}

// PassOn ends the programs, and writes what they wrote to their standard error, at most mostSaid bytes.
func (o *Owner) PassOn(to io.Writer) {
	o.Close()
	o.heard.mutex.Lock()
	defer o.heard.mutex.Unlock()
	if len(o.heard.data) == 0 {
		return
	}
	fmt.Fprintln(to, "chalkfield: the program wrote to its standard error:")
	for _, line := range visible(o.heard.data) {
		fmt.Fprintln(to, "  "+line)
	}
	if o.heard.more {
		fmt.Fprintf(to, "  ... and more than these %d kB\n", mostSaid>>10)
	}
}

// Write takes all, and keeps the end.
func (t *tail) Write(data []byte) (int, error) {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	taken := len(data)
	if len(data) > mostTail {
		data = data[len(data)-mostTail:]
	}
	if extra := len(t.data) + len(data) - mostTail; extra > 0 {
		t.data = append(t.data[:0], t.data[extra:]...)
	}
	t.data = append(t.data, data...)
	return taken, nil
}

// lines are the last ones, as they can be shown.
func (t *tail) lines() []string {
	lines := t.all()
	return lines[max(0, len(lines)-mostLines):]
}

// all are all lines that are kept, as they can be shown.
func (t *tail) all() []string {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	return visible(t.data)
}

// visible are the lines of a text, as they can be shown.
func visible(data []byte) []string {
	text := string(bytes.ToValidUTF8(data, []byte("?")))
	text = strings.TrimRight(strings.ReplaceAll(text, "\r\n", "\n"), "\n")
	if text == "" {
		return nil
	}
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		line = wording.Visible(strings.ReplaceAll(line, "\t", "  "))
		if len(line) > mostWidth {
			line = strings.ToValidUTF8(line[:mostWidth], "") + "..."
		}
		lines[i] = line
	}
	return lines
}
