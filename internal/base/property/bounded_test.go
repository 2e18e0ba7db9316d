package property

import (
	"fmt"
	"testing"
	"time"
)

// told is a test that keeps what it is told.
type told struct {
	testing.TB
	text string
}

func (t *told) Helper()                       {}
func (t *told) Errorf(form string, of ...any) { t.text = fmt.Sprintf(form, of...) }

func TestAHangAndAFloodAreFindings(t *testing.T) {
	var quiet told
	Bounded(&quiet, func() {})
	if quiet.text != "" {
		t.Errorf("nothing at all: %s", quiet.text)
	}
	hung := make(chan string, 1)
	within(t, time.Millisecond, Growth, func(text string) { hung <- text }, func() {
		if text := <-hung; text != "still at it after 1ms" { // it hangs until it is told so
			t.Error(text)
		}
	})
	var flooded told
	var held []byte
	within(&flooded, Longest, 50<<20, nil, func() { held = make([]byte, 100<<20) })
	if flooded.text == "" {
		t.Errorf("%d bytes more, and nothing is said", len(held))
	}
}
