// Package movie shows a stretch of a run as a GIF, for those who have no Chalkfield. It draws what pictures draw.
package movie

import (
	"context"
	"fmt"
	"image"
	"io"
	"math"

	"chalkfield/internal/base/record"
	"chalkfield/render/picture"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// Movie is what a movie shows, and how.
type Movie struct {
	scene.Input         // its time and its options are set here
	From, To    float64 // s of the run
	Speed       float64 // 1: as fast as the run
	Width       int     // pixels; the height follows
	Theme       paint.Theme
}

// What a movie may be, and what it is unless another is asked for.
const (
	Widest      = 1600
	UsualWidth  = 640
	Slowest     = 0.05
	Fastest     = 1.0
	Longest     = 600.0 // s that it takes to see
	frameTime   = 4     // hundredths of a second: 25 frames a second, two samples of the record each at its own speed
	holdTime    = 150   // the last frame is held so long before all begins again
	tastes      = 24    // frames from which the colours are chosen
	shortestRun = 0.02  // s
)

// shown leaves out what jumps about from frame to frame, as names and numbers do, or says nothing to a stranger.
const shown = scene.Floor | scene.Zones | scene.Lines | scene.Walls | scene.Goals | scene.Pieces | scene.Plan |
	scene.Trail | scene.Robots | scene.ScoreBox

// Write writes the movie, until ctx ends, and tells how much of it is done, 0 to 1. The same movie gives the same
// bytes. What it keeps does not grow with the stretch.
func (m Movie) Write(ctx context.Context, w io.Writer, tell func(share float64)) error {
	if err := m.Check(); err != nil {
		return err
	}
	film, err := m.newFilm()
	if err != nil {
		return err
	}
	n, total := m.frames()
	colours := newTally()
	for k := range tastes {
		t := m.From + (m.To-m.From)*float64(k)/(tastes-1)
		colours.add(picture.Moment(film.scene(t), m.Width).In(m.Theme), film.paint(t))
	}
	size := film.paint(m.From).Rect.Size()
	out := newGIF(w, size.X, size.Y, colours.palette())
	for k := range n {
		if tell(float64(k) / float64(n)); ctx.Err() != nil {
			return ctx.Err()
		}
		delay := min(frameTime, total-k*frameTime)
		if err := out.show(film.paint(m.From+float64(k*frameTime)/100*m.Speed), delay); err != nil {
			return err
		}
	}
	if err := out.show(film.paint(m.To), holdTime); err != nil {
		return err
	}
	return out.end()
}

// frames is how many frames come before the last one, and how long they are shown, hundredths of a second.
func (m Movie) frames() (n, total int) {
	total = int(math.Round((m.To - m.From) / m.Speed * 100))
	return (total + frameTime - 1) / frameTime, total
}

// Check tells what is wrong with a movie before its run is there.
func (m Movie) Check() error {
	switch {
	case !(m.Width >= picture.Narrowest && m.Width <= Widest):
		return fmt.Errorf("a movie of %d pixels: write a width from %d to %d", m.Width, picture.Narrowest, Widest)
	case !(m.Speed >= Slowest && m.Speed <= Fastest):
		return fmt.Errorf("a movie at %g times the run's speed: write from %g to %g; 0.5 is half as fast", m.Speed, Slowest,
			Fastest)
	case !(m.To-m.From >= shortestRun):
		return fmt.Errorf("from %.6g s to %.6g s nothing can be seen: write a later end", m.From, m.To)
	case (m.To-m.From)/m.Speed > Longest:
		return fmt.Errorf("the movie would take %.0f s to see, and %.0f s are the most: write a shorter stretch",
			(m.To-m.From)/m.Speed, Longest)
	}
	return nil
}

// film paints moments of the run.
type film struct {
	Movie
	builder scene.Builder
	moments *picture.Moments
}

func (m Movie) newFilm() (*film, error) {
	f := &film{Movie: m}
	f.Options = scene.Options{Show: shown}
	var err error
	f.moments, err = picture.NewMoments(f.scene(m.From), m.Width, m.Theme)
	return f, err
}

// scene is what the run looks like at a time.
func (f *film) scene(t float64) *scene.Scene {
	in := f.Input
	in.T = record.Round(t) // a sample is found by its time
	return f.builder.Build(in)
}

func (f *film) paint(t float64) *image.RGBA { return f.moments.Paint(f.scene(t)) }
