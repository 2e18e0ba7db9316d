package command

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/render/movie"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/webpage"
)

// showFlags write a run for those who have no Chalkfield.
type showFlags struct {
	Movie      string  `help:"Write the run as a movie (.gif)." placeholder:"FILE"`
	MovieSpan  string  `help:"The part of the run that the movie shows, such as \"3 s to 9 s\". Default: all of it." name:"movie-span" placeholder:"SPAN"`
	MovieSpeed float64 `help:"How fast the movie is, such as 0.5 for half as fast as the run." name:"movie-speed" default:"1" placeholder:"SPEED"`
	Replay     string  `help:"Write a page (.html) that plays the run in a browser, a phone's too, in one file." placeholder:"FILE"`
	MovieWidth int     `help:"How wide the movie is, in pixels." name:"movie-width" default:"640" placeholder:"PIXELS"`
	Theme      string  `help:"Colours of picture, movie and replay: slate, light, or contrast for high contrast." enum:"slate,light,contrast" default:"slate" placeholder:"THEME"`
}

func (f showFlags) outputs() []string { return []string{f.Movie, f.Replay} }

// asked reports whether any of them is given that asks for a run.
func (f showFlags) asked() bool {
	f.Theme = ""
	return f != showFlags{MovieSpeed: 1, MovieWidth: movie.UsualWidth}
}

// check refuses, before anything is rehearsed, what could not be written.
func (f showFlags) check() error {
	if err := errors.Join(movieFile.mayBe(f.Movie), replayFile.mayBe(f.Replay)); err != nil {
		return err
	}
	if f.Movie == "" {
		return f.useless()
	}
	m, err := f.movie(scene.Input{}, math.Inf(1))
	if err != nil {
		return err
	}
	if math.IsInf(m.To, 1) { // the run tells
		m.To = 1
	}
	return m.Check()
}

// dressed refuses a theme where nothing is drawn.
func (f showFlags) dressed(picture string) error {
	if f.Theme == paint.Slate.Name || picture+f.Movie+f.Replay != "" {
		return nil
	}
	return errors.New("--theme is about what is drawn: name it with --picture out.png, --movie out.gif " +
		"or --replay out.html")
}

// useless refuses what is about a movie where none is asked for.
func (f showFlags) useless() error {
	for _, flag := range []struct {
		name  string
		given bool
	}{{"--movie-span", f.MovieSpan != ""}, {"--movie-speed", f.MovieSpeed != 1},
		{"--movie-width", f.MovieWidth != movie.UsualWidth}} {
		if flag.given {
			return fmt.Errorf("%s is about a movie: name it with --movie out.gif", flag.name)
		}
	}
	return nil
}

// paper is what a picture is drawn on.
func (f showFlags) paper(path string, in units.System) paper {
	return paper{path, in, paint.ThemeOf(f.Theme)}
}

// movie is the movie asked for of a run that ends at a time, s.
func (f showFlags) movie(in scene.Input, end float64) (movie.Movie, error) {
	m := movie.Movie{Input: in, To: end, Speed: f.MovieSpeed, Width: f.MovieWidth,
		Theme: paint.ThemeOf(f.Theme)}
	var err error
	if f.MovieSpan != "" {
		if m.From, m.To, err = span(f.MovieSpan); err == nil && m.To > end {
			err = fmt.Errorf("the run ends at %.6g s: write a span before it", end)
		}
	}
	if err != nil {
		return m, fmt.Errorf("--movie-span %q: %w", f.MovieSpan, err)
	}
	return m, nil
}

// span reads "3 s to 9 s".
func span(text string) (from, to float64, err error) {
	first, last, is := strings.Cut(text, " to ")
	if !is {
		return 0, 0, errors.New(`write two times, such as "3 s to 9 s"`)
	}
	for _, end := range []struct {
		text string
		to   *float64
	}{{first, &from}, {last, &to}} {
		if *end.to, _, err = units.Parse("s", strings.TrimSpace(end.text)); err != nil {
			return 0, 0, err
		}
	}
	if from < 0 || to <= from {
		return 0, 0, errors.New("write an earlier time first, from 0 s on")
	}
	return from, to, nil
}

// write writes what is asked for.
func (f showFlags) write(ctx context.Context, s streams, in scene.Input) error {
	if f.Movie != "" {
		if err := f.writeMovie(ctx, s, in); err != nil {
			return err
		}
	}
	if f.Replay == "" {
		return nil
	}
	return atomicfile.Write(f.Replay, func(w io.Writer) error {
		return webpage.WriteReplay(w, in, paint.ThemeOf(f.Theme))
	})
}

func (f showFlags) writeMovie(ctx context.Context, s streams, in scene.Input) error {
	film, err := f.movie(in, record.NewIndex(in.Record).End())
	if err != nil {
		return err
	}
	const percent = 100
	bar := progress(s.err, percent)
	defer bar.clear()
	return atomicfile.Write(f.Movie, func(w io.Writer) error {
		return film.Write(ctx, w, func(share float64) { bar.at("filming", share) })
	})
}
