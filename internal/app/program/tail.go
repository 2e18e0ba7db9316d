package program

import (
	"bytes"
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
	text := string(bytes.ToValidUTF8(t.data, []byte("?")))
	t.mutex.Unlock()
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
