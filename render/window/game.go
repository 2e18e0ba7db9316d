package window

import (
	"context"
	"fmt"
	"math"
	"os"
	"strings"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/canvas"
	"chalkfield/render/window/viewmodel"
)

// game is the window as Ebiten runs it: Update takes input and moves the model on, Draw shows it.
type game struct {
	ctx     context.Context
	options Options
	model   *viewmodel.Model
	started bool // Ebiten has called Update: there is a display
	leave   bool // the window is to close
	updates int64
	drawnAt int64 // the update that was drawn last
	frames  int64 // drawn so far

	hand   hand
	watch  *watcher
	tint   scene.Tint
	tintOf *fields.Field // the field that the tint is for
	dump   dumper
	memory viewmodel.Settings
	path   string // of the memory, "" for none

	title         string // that the window has
	size          windowSize
	width, height float64 // logical points
	density       float64 // pixels a logical point
	frame         frame
	elements      []element
	card          *card // what lies over the window; nil: nothing
	note          note
	notebook      bool
	fold          []foldedLine // the routine's lines as wrapped for the notebook
	foldKey       foldKey
	scroll        map[viewmodel.Tab]*scroll
	events        []eventLine // of the page of events
	eventsOf      print       // what they depend on
	line          curveLine
	chartTop      int // signals that are scrolled out above the charts
	laneTop       int // tasks that are scrolled out above the lanes
	numbered      *viewmodel.Run
	runCount      int
	strip         stripView
	field         fieldView
	axes          axes
	aim           aim // the pointer on the field
	drag          drag
	turning       turning // the number of a card's row that is dragged
	pad           padMaker
	shot          string // a picture of the window is wanted in this file

	pen      *canvas.Pen
	builder  scene.Builder
	paler    scene.Builder // of the run before
	arranger scene.Builder // of the whole way while things are arranged
	drawer   paint.Drawer
	drawn    *scene.Scene // this frame's; valid until the next build
	resting  still        // ground, goals and pieces of the field
	charted  still        // signals without the hand of time
	stripped still        // the time strip without it
	paged    still        // the page of the routine
	buttons  [3]still
	mounts   []scene.Mount
	mountsOf *viewmodel.Run
	cut      []string // texts of this frame that had to be shortened, for the state dump
	stale    bool     // something changed since the last Draw
}

func newGame(ctx context.Context, o Options, memory viewmodel.Settings, path string) *game {
	g := &game{
		ctx: ctx, options: o, model: viewmodel.New(o.Files, o.Load), memory: memory, path: path, notebook: true,
		scroll: map[viewmodel.Tab]*scroll{}, field: fieldView{zoom: 1}, stale: true, dump: dumper{path: o.Dump},
		tint: scene.TintOf(nil),
	}
	for _, tab := range viewmodel.Tabs {
		g.scroll[tab] = &scroll{}
	}
	g.pad.tank, g.pad.response = memory.Tank, viewmodel.ResponseCurve{Dead: 0.08, Power: 1.5}
	g.watch = newWatcher(g.model.Warn)
	g.model.Reload()
	g.watch.follow(g.model.Watch)
	if o.Files.Record == "" || g.model.Now != nil {
		g.opened(o.Files)
	} else {
		g.forget(o.Files)
	}
	return g
}

// opened remembers files by where they are, because the next start may be from another folder. A routine that is not
// there is not remembered.
func (g *game) opened(files viewmodel.Files) {
	if strings.HasSuffix(files.Routine, ".lua") {
		if _, err := os.Stat(files.Routine); err != nil {
			g.forget(files)
			return
		}
	}
	g.memory.Opened(whereabouts(files))
	_ = g.keep() // soon, because the program may be ended from outside; what fails is told when the window closes
}

// forget takes files that could not be opened off the list of those that were.
func (g *game) forget(files viewmodel.Files) {
	g.memory.Forget(files)
	g.memory.Forget(whereabouts(files))
	_ = g.keep()
}

// whereabouts are files with their whole paths.
func whereabouts(files viewmodel.Files) viewmodel.Files {
	for _, path := range []*string{&files.Routine, &files.Robot, &files.Field, &files.Record} {
		if _, err := os.Stat(*path); err == nil { // not an embedded one, or one that is not there
			*path = absolute(*path)
		}
	}
	return files
}

func (g *game) close() {
	g.model.Close()
	g.watch.close()
	g.remember()
}

// keep writes the memory.
func (g *game) keep() error {
	if g.path == "" {
		return nil
	}
	g.memory.Sticks(g.pad.tank)
	return g.memory.Save(g.path)
}

// remember writes the memory at the end; a failure is told on stderr, because the window is gone.
func (g *game) remember() {
	if err := g.keep(); err != nil {
		fmt.Fprintf(g.options.Err, "chalkfield: the window's settings were not kept: %v\n", err)
	}
}

// frameSeconds is the time of one Update (Ebiten's default of 60 a second).
const frameSeconds = 1.0 / 60

// Update is Ebiten's: one step of the window.
func (g *game) Update() error {
	g.started = true
	g.updates++
	g.size.watch(&g.memory, g.leave)
	if title := g.windowTitle(); title != g.title {
		g.title = title
		ebiten.SetWindowTitle(title)
	}
	if g.ctx.Err() != nil || g.leave {
		return ebiten.Termination
	}
	if g.hand.read(g.density) {
		g.stale = true
	}
	g.advance()
	g.layout()
	g.act()
	g.layout() // what was done may have moved things
	g.dump.write(g.state())
	return nil
}

// advance lets time pass: watching, driving, work in the background, files on disk.
func (g *game) advance() {
	g.model.Wait(frameSeconds)
	if g.watch.changed() {
		g.takeSave()
	}
	if g.model.Poll() {
		g.stale = true
	}
	if _, busy := g.model.Busy(); busy {
		g.stale = true
	}
	if g.model.Driving() {
		g.drive()
		if !g.model.Driving() { // the session is over
			g.afterDrive(true)
		}
		g.stale = true
	} else if g.model.Playing {
		g.model.Advance(frameSeconds)
		g.stale = true
	}
}

// drive lets the drive go on, but not behind a card.
func (g *game) drive() {
	controls := g.pad.read(&g.hand, g.card != nil)
	if g.card == nil {
		g.model.AdvanceDrive(frameSeconds, controls)
	}
}

// reload reads the files again and watches what they now need.
func (g *game) reload() {
	g.model.Reload()
	g.watch.follow(g.model.Watch)
	g.stale = true
}

// again rehearses anew: the files as they are by now, or what is in the record.
func (g *game) again() {
	if g.model.Files.Record == "" || g.model.Now == nil {
		g.reload()
		return
	}
	g.model.Rehearse()
	g.stale = true
}

// Layout is Ebiten's: the screen has as many pixels as the display gives.
func (g *game) Layout(int, int) (int, int) { panic("Ebiten calls LayoutF where it is there") }

// LayoutF is Ebiten's.
func (g *game) LayoutF(outsideWidth, outsideHeight float64) (float64, float64) {
	g.size.is(outsideWidth, outsideHeight)
	device := ebiten.Monitor().DeviceScaleFactor()
	density := device * g.fittingZoom(outsideWidth, outsideHeight)
	width, height := outsideWidth*device, outsideHeight*device
	if w, h := width/density, height/density; w != g.width || h != g.height || density != g.density {
		g.width, g.height, g.density, g.stale = w, h, density, true
	}
	return math.Ceil(width), math.Ceil(height)
}

// fittingZoom is how large letters and buttons are: as asked for, larger in a large window, where one sits farther off,
// and smaller where the window would have less than its least size in points.
func (g *game) fittingZoom(width, height float64) float64 {
	return math.Min(g.memory.Zoom, mostLetters(width, height)) * farther(width, height)
}

// farther is how much larger everything is in a large window.
func farther(width, height float64) float64 {
	large := math.Pow(math.Min(width/1600, height/1000), 0.75)
	return math.Max(1, math.Round(20*large)/20)
}

// mostLetters is how large letters may be asked for in a window of this size.
func mostLetters(width, height float64) float64 {
	return math.Max(0.5, math.Min(width/viewmodel.LeastWidth, height/viewmodel.LeastHeight)) / farther(width, height)
}

// tintNow chooses the accent for the field shown. What was kept in another is drawn anew.
func (g *game) tintNow() {
	if g.model.Now == nil || g.model.Now.Setup.Field == g.tintOf {
		return
	}
	g.tintOf = g.model.Now.Setup.Field
	if tint := scene.TintOf(g.tintOf); tint != g.tint {
		g.tint, g.stale = tint, true
		for _, s := range []*still{&g.resting, &g.charted, &g.stripped, &g.paged, &g.buttons[0], &g.buttons[1],
			&g.buttons[2]} {
			s.has, s.last = false, noPrint
		}
	}
}

// layout places everything for the state as it is.
func (g *game) layout() {
	g.tintNow()
	g.note = g.noteNow()
	wants := wants{Lanes: g.wantedLanes(), Charts: len(g.model.Signals), Notebook: g.notebook, Note: g.note.more()}
	g.frame = newFrame(g.width, g.height, wants)
	g.scrollCharts(0) // there may be room for more now
	g.scrollLanes(0)
	g.frame.Gutter = g.gutterWidth()
	g.elements = g.elements[:0]
	g.placeBar()
	g.placeRail()
	g.placeNotebook()
	g.placeControls()
	g.placeField()
	if g.card != nil {
		g.placeCard()
	}
}

// Draw is Ebiten's.
func (g *game) Draw(screen *ebiten.Image) {
	g.drawnAt = g.updates
	g.frames++
	if !g.stale {
		return
	}
	if g.pen == nil {
		pen, err := canvas.NewPen()
		if err != nil {
			panic(err) // the fonts are part of the program
		}
		g.pen = pen
	}
	g.stale = false
	g.cut = g.cut[:0]
	g.paint(screen)
	if g.shot != "" {
		g.saveShot(screen)
	}
}

func (g *game) paint(screen *ebiten.Image) {
	g.pen.Begin(screen, g.density)
	g.drawField() // each part paints its own ground: together they tile the window
	g.drawBar()
	g.drawNotebook()
	g.drawButtons()
	g.drawControls()
	g.drawStrip()
	g.drawCharts()
	g.drawTip()
	g.drawNote()
	g.drawCard()
	g.pen.Flush()
}

// pointer is where the pointer is on the screen.
func (g *game) pointer() geom.Vec { return geom.Vec{X: g.hand.X, Y: g.hand.Y} }
