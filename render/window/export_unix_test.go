//go:build unix

package window

import (
	"context"
	"fmt"
	"image/color"
	"io"
	"syscall"
	"time"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/window/viewmodel"
)

// Costs is a window of which is told what it costs, and what it is to do meanwhile.
type Costs struct {
	Width, Height int
	Bare          bool // one colour, another in every frame
	Play, Turn    bool // a run plays; a number is turned, ten times a second
	Seconds       float64
}

// frugal is a window as Open opens it, that does what is to cost something.
type frugal struct {
	*game
	Costs
	frames, from int
	since        time.Time // when what counts began, zero: not yet
	spent, ready float64   // s of processor time, then and in the end
	turned       time.Time
}

// warmSeconds are not counted.
const warmSeconds = 3

func (f *frugal) Update() error {
	if f.model.Now != nil && f.model.Playing != f.Play {
		f.model.Toggle()
	}
	if f.model.Now != nil && f.since.IsZero() {
		f.since = time.Now()
	}
	if f.Turn && time.Since(f.turned) > time.Second/10 && f.model.Now != nil {
		f.turned = time.Now()
		takeNumber(f.numbers)
		f.numbers.turn(1)
	}
	switch past := time.Since(f.since).Seconds(); {
	case f.since.IsZero():
	case past > warmSeconds && f.ready == 0:
		f.ready, f.from, f.turned = processorSeconds(), f.frames, time.Now()
	case past > warmSeconds+f.Seconds:
		f.spent = processorSeconds() - f.ready
		return ebiten.Termination
	}
	return f.game.Update()
}

func (f *frugal) Draw(screen *ebiten.Image) {
	if !f.Bare {
		if f.stale {
			f.frames++
		}
		f.game.Draw(screen)
		return
	}
	if f.Play || f.frames == 0 {
		f.frames++
		screen.Fill(color.NRGBA{R: uint8(f.frames), A: 255})
	}
}

func processorSeconds() float64 {
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		panic(err)
	}
	return float64(used.Utime.Nano()+used.Stime.Nano()) / 1e9
}

// MeasureCosts runs such a window and writes the share of a core that it takes, the frames drawn a second, and the most
// memory that it had, megabytes.
func MeasureCosts(o Options, c Costs, out io.Writer) error {
	o.Out, o.Err = io.Discard, io.Discard
	f := &frugal{Costs: c, game: newGame(context.Background(), o, viewmodel.DefaultSettings(), "")}
	defer f.close()
	ebiten.SetWindowSize(c.Width, c.Height)
	ebiten.SetTPS(ebiten.SyncWithFPS)
	ebiten.SetScreenClearedEveryFrame(false)
	ebiten.SetRunnableOnUnfocused(true)
	if err := ebiten.RunGame(f); err != nil {
		return err
	}
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		return err
	}
	_, err := fmt.Fprintf(out, "%g %g %g\n", 100*f.spent/c.Seconds, float64(f.frames-f.from)/c.Seconds,
		float64(used.Maxrss)/1000)
	return err
}
