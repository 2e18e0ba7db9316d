package window

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"sync/atomic"

	"chalkfield/render/movie"
	"chalkfield/render/picture"
	"chalkfield/render/scene"
	"chalkfield/render/webpage"
	"chalkfield/render/window/viewmodel"
)

// others writes the run shown for those who have no Chalkfield: as a replay, a movie, a picture, in the background.
type others struct {
	*shared
	disk  *disk
	field *field
	tell  func()         // that there is news of the work
	of    *viewmodel.Run // whose stretch is chosen
	film  movie.Movie    // its stretch and speed
	work  *writing       // under way; nil: none
}

// writing is a file being made.
type writing struct {
	name  string // as it is told
	keep  func(data []byte)
	stop  context.CancelFunc
	share atomic.Int64 // of the work that is done, percent
	done  chan madeFile
	told  int64 // percent, last said
}

// madeFile is what came of it.
type madeFile struct {
	data []byte
	err  error
}

const (
	spanStep     = 0.5  // s by which a movie's ends are turned
	shortestFilm = 0.1  // s
	fieldWidth   = 1600 // pixels of a picture of the field
)

// filmSpeeds are those that a movie can be turned to.
var filmSpeeds = []float64{0.1, 0.25, 0.5, 1}

// showCard offers what can be written.
func (o *others) showCard() {
	run := o.model.Now
	if run == nil || o.model.Driving() {
		o.model.Say("There is no finished run to show.")
		return
	}
	if o.of != run {
		o.of, o.film = run, movie.Movie{To: run.Index.End(), Speed: 1, Width: movie.UsualWidth}
	}
	o.show(&card{name: "others", title: "Show the run to others",
		foot: "Enter writes a new file. Left and Right turn a number.", rows: func() []cardRow { return o.rows(run) }})
}

func (o *others) rows(run *viewmodel.Run) []cardRow {
	end := run.Index.End()
	speed := choice{&o.film.Speed, filmSpeeds}
	edge := func(label string, at *float64, low, high float64) cardRow {
		put := func(t float64) { *at = math.Min(math.Max(math.Round(t*100)/100, low), high) }
		return cardRow{label: label + " (a click or Enter: the moment shown)", note: fmt.Sprintf("%.2f s", *at), keeps: true,
			do: func() { put(o.model.Time) }, turn: func(way float64) { put(*at + way*spanStep) }}
	}
	return []cardRow{
		{label: "Into " + absolute(o.model.Folder()), head: true},
		{label: "Write a replay: a page that plays in a browser", note: ".html", do: func() { o.writeReplay(run) }},
		{label: "Write a picture of the field as it is shown", note: ".png",
			do: func() { o.start("field_", ".png", o.drawPicture(run)) }},
		{label: "Put that picture on the clipboard", do: func() { o.make("the picture", o.copyPicture, o.drawPicture(run)) }},
		{label: "Movie", head: true},
		edge("from", &o.film.From, 0, o.film.To-shortestFilm),
		edge("to", &o.film.To, o.film.From+shortestFilm, end),
		{label: "speed", note: fmt.Sprintf("%g x", o.film.Speed), keeps: true, do: speed.next, turn: speed.turn},
		{label: "Write the movie", note: fmt.Sprintf(".gif, %.1f s", (o.film.To-o.film.From)/o.film.Speed),
			do: func() { o.writeMovie(run) }},
	}
}

func (o *others) writeReplay(run *viewmodel.Run) {
	in, theme := o.field.input(run), o.shownIn()
	o.start("replay_", ".html", func(_ context.Context, w io.Writer, _ func(float64)) error {
		return webpage.WriteReplay(w, in, theme)
	})
}

func (o *others) writeMovie(run *viewmodel.Run) {
	film := o.film
	film.Input, film.Theme = o.shown(run), o.shownIn()
	o.start("movie_", ".gif", film.Write)
}

// filling writes what is made, until its context ends, and tells how much of it is done, 0 to 1.
type filling func(context.Context, io.Writer, func(float64)) error

// shown is what is shown of the run, with the paths of a study and the run beside it, for work in the background.
func (o *others) shown(run *viewmodel.Run) scene.Input {
	in, ways, behind := o.field.input(run), o.field.studies.ways(), o.field.behind(new(scene.Builder))
	in.Under = func(t float64) []scene.Item { return append(ways[:len(ways):len(ways)], behind.items(t, t)...) }
	return in
}

// drawPicture draws the moment shown with the layers shown.
func (o *others) drawPicture(run *viewmodel.Run) filling {
	in, theme := o.shown(run), o.shownIn()
	in.Show |= scene.ScoreBox
	return func(_ context.Context, w io.Writer, _ func(float64)) error {
		return picture.WritePNG(w, picture.Moment(scene.Build(in), fieldWidth).In(theme), fieldWidth)
	}
}

func (o *others) copyPicture(data []byte) {
	if err := pictureToClipboard(data); err != nil {
		o.model.Warn("Not on the clipboard: " + err.Error() + ".")
		return
	}
	o.model.Say("The picture of the field is on the clipboard.")
}

// start makes a file, under the next free name beside the routine.
func (o *others) start(stem, ending string, fill filling) {
	path := o.disk.newName(stem, ending)
	if path == "" {
		return
	}
	o.make(filepath.Base(path), func(data []byte) {
		o.disk.writeNamed(path, func(w io.Writer) error { _, err := w.Write(data); return err })
	}, fill)
}

// make makes something in the background, and then does with it what is to be done.
func (o *others) make(name string, keep func([]byte), fill filling) {
	if o.work != nil {
		o.model.Say(fmt.Sprintf("%s is being written; Esc gives it up.", o.work.name))
		return
	}
	ctx, stop := context.WithCancel(context.Background())
	work, tell := &writing{name: name, keep: keep, stop: stop, done: make(chan madeFile, 1), told: -1}, o.tell
	o.work = work
	go func() {
		defer tell()
		defer func() { // a crash behind the window must not close it
			if trouble := recover(); trouble != nil {
				work.done <- madeFile{err: viewmodel.OurFault(trouble)}
			}
		}()
		var out bytes.Buffer
		err := fill(ctx, &out, func(share float64) {
			if percent := int64(100 * share); work.share.Swap(percent) != percent {
				tell()
			}
		})
		work.done <- madeFile{out.Bytes(), err}
	}()
}

// want tells how far the work is, and writes what is made.
func (o *others) want(*wants) {
	if o.work == nil {
		return
	}
	select {
	case got := <-o.work.done:
		keep := o.work.keep
		o.end()
		if got.err != nil {
			o.model.Warn("Not written: " + got.err.Error())
			return
		}
		keep(got.data)
	default:
		if share := o.work.share.Load(); share != o.work.told {
			o.work.told, o.stale = share, true
			o.model.Say(fmt.Sprintf("Making %s, %d %%. Esc gives it up.", o.work.name, share))
		}
	}
}

func (o *others) draw() {}

// end stops the work under way; it reports whether there was any.
func (o *others) end() bool {
	if o.work == nil {
		return false
	}
	o.work.stop()
	o.work, o.stale = nil, true
	return true
}
