package window

import (
	"sync/atomic"
	"time"

	"github.com/hajimehoshi/ebiten/v2"
)

// pace says when the window has its next frame. Ebiten makes one for every event of the person's hands, at once, and
// when it is called for: by the clock, or by something new from the background.
type pace struct {
	clock  *time.Timer // calls for the next frame
	runs   atomic.Bool // there are frames
	called atomic.Bool // a frame was called for
	hasty  atomic.Bool // for something new, which does not wait
	began  time.Time   // when the frame under way began
	least  time.Duration
	quiet  float64 // s since something happened last
}

// Times from one frame to the next.
const (
	lively  = time.Second / 60 // while hands move or something goes on
	playing = time.Second / 30 // while a run plays and no hand moves
	resting = time.Second / 4  // while nothing happens: what nobody has called for is seen then
)

const (
	longestFrame = 0.25 // s that pass in an Update at most
	staysLively  = 0.7  // s after something happened last: longer than any part of the window waits for hands
)

func newPace() *pace {
	p := &pace{least: lively}
	p.clock = time.AfterFunc(time.Hour, p.call)
	return p
}

func (p *pace) call() {
	p.called.Store(true)
	if p.runs.Load() {
		ebiten.ScheduleFrame()
		p.clock.Reset(resting) // unless there is a frame before: Ebiten may lose a call while it opens or shows a window
	}
}

// hurry calls for a frame that does not wait; any goroutine may.
func (p *pace) hurry() {
	p.hasty.Store(true)
	p.call()
}

// begin begins a frame, not too soon after the one before. It reports whether the frame was called for, and the seconds
// since the one before.
func (p *pace) begin() (called bool, passed float64) {
	p.runs.Store(true)
	called = p.called.Swap(false)
	if wait := p.least - time.Since(p.began); wait > 0 && !p.hasty.Load() {
		time.Sleep(wait)
	}
	p.hasty.Store(false)
	now := time.Now()
	passed = min(now.Sub(p.began).Seconds(), longestFrame)
	p.began = now
	return called, passed
}

// doing is what goes on at the end of an Update.
type doing struct {
	hands bool // they have moved now
	busy  bool // something is drawn anew in every frame
	turns bool // the run of a turned value is awaited, which calls for a frame by itself
	plays bool // a run does
}

// next calls for the next frame.
func (p *pace) next(d doing, passed float64) {
	p.quiet += passed
	if d.hands || d.busy {
		p.quiet = 0
	}
	wait, least := d.times(p.quiet)
	p.least = least
	p.clock.Reset(wait - time.Since(p.began))
}

// times are those to the next frame, if nothing calls for it before, and at least. quiet: s since something happened.
func (d doing) times(quiet float64) (wait, least time.Duration) {
	switch {
	case d.plays && quiet > 0:
		return playing, playing
	case d.turns && !d.plays:
		return resting, lively
	case quiet < staysLively:
		return lively, lively
	}
	return resting, lively
}

func (p *pace) stop() { p.clock.Stop() }
