package window

import (
	"context"
	"fmt"
	"image/color"
	"io"
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
