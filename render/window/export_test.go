package window

import (
	"context"
	"fmt"
	"image/color"
	"io"
	"slices"
	"time"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
)

// measured is a window that times its own frames and closes after so many.
type measured struct {
	*game
	frames       int
	drawn        int
	update, draw time.Duration
	began        time.Time
	bare         bool // draws one colour only: what the renderer costs by itself
}

// warmUp frames are not counted: they fill the font's atlas and compile shaders.
const warmUp = 30

func (m *measured) Update() error {
	if m.drawn >= m.frames+warmUp {
		return ebiten.Termination
	}
	if m.model.Now != nil {
		m.model.Overlays |= everythingOn
		if !m.model.Playing {
			m.model.Toggle()
		}
	}
	at := time.Now()
	m.started = true // every frame as soon as can be
	m.pace.hurry()
	err := m.game.Update()
	m.count(&m.update, at)
	return err
}

func (m *measured) Draw(screen *ebiten.Image) {
	if m.model.Now == nil {
		return
	}
	at := time.Now()
	if m.bare {
		screen.Fill(color.NRGBA{R: uint8(m.drawn), A: 255})
	} else {
		m.stale = true
		m.game.Draw(screen)
	}
	m.drawn++
	if m.drawn == warmUp {
		m.began = time.Now()
	}
	m.count(&m.draw, at)
}

func (m *measured) count(into *time.Duration, since time.Time) {
	if m.drawn > warmUp {
		*into += time.Since(since)
	}
}

// Measure runs a window of 1280 x 800 for so many frames and writes, in milliseconds a frame, the time of Update, the
// time of Draw, and the whole time, which has the renderer in it; then the number of bodies. A bare window only fills
// itself with a colour.
func Measure(o Options, frames int, bare bool, out io.Writer) error {
	o.Out, o.Err = io.Discard, io.Discard
	m := &measured{game: newGame(context.Background(), o, viewmodel.DefaultSettings(), ""), frames: frames, bare: bare}
	defer m.close()
	ebiten.SetWindowSize(1280, 800)
	ebiten.SetVsyncEnabled(false)
	ebiten.SetTPS(ebiten.SyncWithFPS) // one Update a frame
	ebiten.SetScreenClearedEveryFrame(false)
	if err := ebiten.RunGame(m); err != nil {
		return err
	}
	each := func(d time.Duration) float64 { return d.Seconds() * 1000 / float64(frames) }
	bodies := len(m.model.Now.Record.Header.Bodies)
	_, err := fmt.Fprintf(out, "%g %g %g %d\n", each(m.update), each(m.draw), each(time.Since(m.began)), bodies)
	return err
}

// turner is a window in which a number is turned by steps, each once the way of the one before is on the screen.
type turner struct {
	*game
	steps, made int
	since       time.Time // when the step under way was made
	waits       bool
	longest     time.Duration
	sum         time.Duration
}

func (w *turner) Update() error {
	if w.made > w.steps {
		return ebiten.Termination
	}
	if _, busy := w.model.Busy(); w.model.Now != nil && !w.waits && !busy {
		takeNumber(w.numbers)
		w.since, w.waits = time.Now(), true
		w.numbers.turn(1)
		w.stale = true
	}
	return w.game.Update()
}

// takeNumber takes a number of the demo into the hand, if none is.
func takeNumber(n *numbers) {
	if !n.held() {
		n.take(slices.IndexFunc(n.all(), func(n textNumber) bool { return n.Text == "1562" }), chosen)
	}
}

func (w *turner) Draw(screen *ebiten.Image) {
	w.game.Draw(screen)
	if w.waits && w.model.Now.Source.Text == w.model.Source().Text {
		took := time.Since(w.since)
		if w.waits = false; w.made > 0 { // the first one warms up
			w.sum, w.longest = w.sum+took, max(w.longest, took)
		}
		w.made++
	}
}

// MeasureTurns runs a window of 1280 x 800 in which a number is turned by so many steps. It writes, in milliseconds,
// how long it takes from a step to the end of the Draw that has its way, on average and at most.
func MeasureTurns(o Options, steps int, out io.Writer) error {
	o.Out, o.Err = io.Discard, io.Discard
	w := &turner{game: newGame(context.Background(), o, viewmodel.DefaultSettings(), ""), steps: steps}
	defer w.close()
	ebiten.SetWindowSize(1280, 800)
	ebiten.SetTPS(ebiten.SyncWithFPS)
	ebiten.SetScreenClearedEveryFrame(false)
	if err := ebiten.RunGame(w); err != nil {
		return err
	}
	_, err := fmt.Fprintf(out, "%g %g\n", w.sum.Seconds()*1000/float64(steps), w.longest.Seconds()*1000)
	return err
}

// Ahead is a routine file of the tests: it drives ahead from a place where nothing is in its way.
func Ahead(mm string) string {
	return `return routine {
  title = "test",
  start = {x = 600, y = 1000, heading = 0},
  auto = function(bot)
    wait(0.2)
    bot.drive:ahead(` + mm + `)
    note("there")
  end,
}
`
}

// everythingOn are all overlays that the card of layers has.
var everythingOn = func() (all scene.Overlay) {
	for _, l := range layers {
		all |= l.overlay
	}
	return all
}()

// twice is a window that draws every frame as it does, and then all of it anew.
type twice struct {
	*game
	frames, seen, different int
	first, second           []byte
}

func (w *twice) Update() error {
	if w.seen >= w.frames {
		return ebiten.Termination
	}
	if w.model.Now != nil {
		w.model.Overlays |= everythingOn
		w.hand.X += 7 // over buttons, the field, the pages
		switch w.seen {
		case w.frames / 3:
			w.setMode(viewmodel.Measure)
		case w.frames / 2:
			w.showLayers()
		case w.frames * 2 / 3:
			w.showActions()
		case w.frames * 3 / 4:
			w.closeCard()
		}
		w.model.Seek(w.model.Time + 0.1)
	}
	w.advance()
	w.layout()
	w.act()
	w.layout()
	w.stale = true
	return nil
}

func (w *twice) Draw(screen *ebiten.Image) {
	w.game.Draw(screen)
	if w.model.Now == nil {
		return
	}
	size := screen.Bounds().Size()
	if n := 4 * size.X * size.Y; len(w.first) != n {
		w.first, w.second = make([]byte, n), make([]byte, n)
	}
	w.stale = true
	w.game.Draw(screen) // parts that rest are drawn as kept from now on
	screen.ReadPixels(w.first)
	w.pen.Forget()
	w.stale = true
	w.game.Draw(screen)
	screen.ReadPixels(w.second)
	w.seen++
	for i := range w.first {
		if w.first[i] != w.second[i] {
			w.different++
		}
	}
}

// CompareFrames draws so many frames of a window in which much happens, each twice: what has changed, and then all. It
// writes how many it compared, and in how many bytes the two differ.
func CompareFrames(o Options, frames int, out io.Writer) error {
	o.Out, o.Err = io.Discard, io.Discard
	w := &twice{game: newGame(context.Background(), o, viewmodel.DefaultSettings(), ""), frames: frames}
	defer w.close()
	ebiten.SetWindowSize(viewmodel.LeastWidth, viewmodel.LeastHeight)
	ebiten.SetTPS(ebiten.SyncWithFPS)
	ebiten.SetScreenClearedEveryFrame(false)
	if err := ebiten.RunGame(w); err != nil {
		return err
	}
	_, err := fmt.Fprintf(out, "%d %d\n", w.seen, w.different)
	return err
}

// WriteCourse writes a course straight ahead into a folder.
func WriteCourse(write func(name, text string), folder string) { writeCourse(write, folder) }
