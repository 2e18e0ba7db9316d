package window

import (
	"context"
	"math"
	"time"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/canvas"
	"chalkfield/render/window/viewmodel"
)

// game is the window as Ebiten runs it: Update takes input and moves the model on, Draw shows it. It is made of parts
// and has what none of them has.
type game struct {
	*shared
	ctx        context.Context
	parts      []part // in the order in which they are drawn
	building   []part // those while a field is built
	bench      *bench
	lists      *benchLists
	buildTools *tools
	field      *field
	measure    *measure
	arrange    *arrange
	facts      *facts
	strip      *strip
	charts     *charts
	notebook   *notebook
	numbers    *numbers
	handles    *handles
	line       *editLine
	moment     *moment
	times      *times
	gains      *gainList
	lessons    *lessons
	dialog     *dialog
	panel      *panel
	menu       *menu
	driver     *driver
	desk       *desk
	disk       *disk
	others     *others
	studies    *studies
	dump       dumper
	size       windowSize
	pace       *pace
	title      string // that the window has
	started    bool   // Ebiten has called Update: there is a display
	opening    Drive  // what the window is to begin with, as soon as there is something to drive
	leave      bool   // the window is to close
}

func newGame(ctx context.Context, o Options, memory viewmodel.Settings, path string) *game {
	model := viewmodel.New(o.Files, o.Load)
	model.Starts(o.Start, o.Named)
	if o.Lessons != nil {
		model.Learn(o.Lessons)
		memory.Learns()
	}
	g := compose(ctx, o, model, memory, path)
	g.pace = newPace()
	model.Tells(g.pace.hurry)
	g.disk.watch = newWatcher(model.Warn, g.pace.hurry)
	if o.Build != "" {
		g.beginBuild(o.Build)
	}
	switch {
	case g.model.Board() != nil:
	case o.Lessons != nil:
		g.lessons.start(o.Lesson)
	default:
		g.disk.start()
	}
	g.others.tell = g.pace.hurry
	g.opening = o.Drive
	context.AfterFunc(ctx, g.pace.hurry)
	return g
}

// compose makes the window of its parts.
func compose(ctx context.Context, o Options, m *viewmodel.Model, memory viewmodel.Settings, path string) *game {
	s := &shared{look: look{theme: newTheme(scene.TintOf(nil).Accent), drawer: paint.Drawer{OffRobots: true}}, model: m,
		memory: memory, stale: true, passed: frameSeconds}
	view, time := &fieldView{shared: s, zoom: 1}, &timeline{shared: s}
	disk, facts, strip := &disk{shared: s, path: path, err: o.Err}, &facts{view, o.Out}, &strip{timeline: time}
	g := &game{
		shared: s, ctx: ctx, disk: disk, facts: facts, strip: strip, field: &field{fieldView: view, facts: facts},
		measure: &measure{view}, arrange: &arrange{fieldView: view}, charts: &charts{timeline: time},
		notebook: newNotebook(s), dialog: newDialog(s), panel: newPanel(s), dump: dumper{path: o.Dump},
		driver: &driver{shared: s, disk: disk, pad: padMaker{tank: memory.Tank, response: usualResponse,
			puts: putsOf(memory.Pad)}},
	}
	g.desk = &desk{shared: s, driver: g.driver}
	g.driver.desk = g.desk
	g.numbers = &numbers{shared: s, notebook: g.notebook, disk: disk}
	g.handles = &handles{fieldView: view, numbers: g.numbers}
	g.line = &editLine{shared: s, notebook: g.notebook, numbers: g.numbers}
	s.write = g.numbers.write
	g.studies = newStudies(view, disk, g.notebook, g.numbers)
	g.field.studies, g.field.handles = g.studies, g.handles
	g.moment = &moment{shared: s, notebook: g.notebook, line: g.line}
	g.times = &times{shared: s, numbers: g.numbers, disk: disk}
	g.gains = &gainList{shared: s, disk: disk}
	g.notebook.gains = g.gains
	g.lessons = &lessons{shared: s, disk: disk, driver: g.driver, view: &lessonView{shared: s}}
	g.driver.lessons = g.lessons
	g.menu, g.others = &menu{shared: s, view: view, charts: g.charts}, &others{shared: s, disk: disk, field: g.field,
		tell: func() {}}
	g.actions, g.dialog.pass, g.panel.pass = g.allActions(), g.pressKey, g.pressKey
	g.parts = []part{g.field, &gates{view}, g.measure, g.arrange, &legend{shared: s}, g.studies, g.handles, g.facts,
		&header{s}, g.lessons.view, g.notebook, &files{shared: s, notebook: g.notebook}, g.moment, g.numbers, g.line,
		g.times, g.panel, g.charts, g.desk, &tools{shared: s, names: toolsOf(m)}, &transport{shared: s}, g.strip,
		&status{shared: s, view: view, strip: strip, studies: g.studies}, &dividers{shared: s},
		&tip{shared: s, axis: func() float64 { return g.field.axes.x }},
		g.others, g.dialog, g.menu}
	g.composeBench()
	g.openAgain(memory.Layout)
	return g
}

// shown are the parts that there are now.
func (g *game) shown() []part {
	if g.model.Board() != nil {
		return g.building
	}
	return g.parts
}

// openAgain opens the list beside the field that was open last, without giving it the keys.
func (g *game) openAgain(l viewmodel.Layout) {
	for _, name := range []string{"values", "layers", "signals", "studies", "variables", "stops", "times", "gains"} {
		if l.Open == name {
			g.action(name).do()
			g.focus = false
			g.memory.Divide(l)
		}
	}
}

func (g *game) close() {
	g.pace.stop()
	g.model.Close()
	g.others.end()
	g.disk.watch.close()
	g.disk.remember()
}

// frameSeconds is the time of one Update while hands move.
const frameSeconds = 1.0 / 60

// patience is how long an Update waits for the run of a turned value at most.
const patience = 50 * time.Millisecond

// Update is Ebiten's: one step of the window.
func (g *game) Update() error {
	if !g.started {
		g.started = true
		ebiten.SetFPSMode(ebiten.FPSModeVsyncOffMinimum) // not before: the first frame has nobody who calls for it
	}
	called, passed := g.pace.begin()
	g.passed = passed
	g.dump.updates++
	g.size.watch(&g.memory, passed, g.leave)
	if title := g.model.Called(); title != g.title {
		g.title = title
		ebiten.SetWindowTitle(title)
	}
	if g.ctx.Err() != nil || g.leave {
		return ebiten.Termination
	}
	hands := g.hand.read(g.density, passed)
	if !called && !hands && g.pen != nil {
		g.pen.Forget() // it may be that what lay over the window has gone
		g.stale = true
	}
	g.stale = g.stale || hands
	g.advance()
	g.layout()
	g.act()
	if g.model.AwaitTurn(patience) {
		g.stale = g.model.Poll() || g.stale
	}
	g.layout() // what was done may have moved things
	g.pace.next(doing{hands: hands, busy: g.busy(), turns: g.model.Turns(), plays: g.model.Playing}, passed)
	g.dump.write(g.state())
	return nil
}

// busy reports whether something goes on that is drawn. How far the rehearsal of a turn is, is not: it would take its
// time.
func (g *game) busy() bool {
	_, busy := g.model.Busy()
	return busy && !g.model.Turns() || g.model.Driving()
}

// advance lets time pass: watching, driving, work in the background, files on disk.
func (g *game) advance() {
	g.model.Wait(g.passed)
	saved := g.disk.watch.changed()
	if saved {
		if g.model.Board() != nil {
			g.bench.takeSave()
		} else {
			g.driver.takeSave()
		}
	}
	_, busy := g.model.Busy()
	g.stale = g.moment.find() || g.stale
	g.stale = g.model.Poll() || saved || g.busy() || g.model.Driving() || g.model.Playing || g.stale
	if g.model.Driving() {
		g.driver.drive()
		if !g.model.Driving() { // the session is over
			g.driver.afterDrive(true)
		}
		return
	}
	if g.opening != NoDrive && g.model.Now != nil && !busy {
		g.driver.open(g.opening)
		g.opening = NoDrive
	}
	g.model.Advance(g.passed)
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

// layout places everything for the state as it is.
func (g *game) layout() {
	if run := g.model.Now; run != nil && run.Setup.Field != g.themed {
		g.themed, g.stale = run.Setup.Field, true
		g.theme = newTheme(scene.TintOf(g.themed).Accent)
	}
	w := wants{Layout: g.memory.Layout, Aspect: g.field.aspect(), Drive: g.model.Driving(), Aside: g.aside}
	for _, p := range g.shown() {
		p.want(&w)
	}
	g.frame = newFrame(g.width, g.height, w)
	g.elements = g.elements[:0]
	for _, p := range g.shown() {
		p.place()
	}
}

// Draw is Ebiten's.
func (g *game) Draw(screen *ebiten.Image) {
	g.dump.drawn = g.dump.updates
	g.dump.frames++
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
	if g.dress != g.memory.Theme {
		g.dress = g.memory.Theme
		g.pen.SetTheme(g.shownIn())
	}
	g.stale = false
	g.cut = g.cut[:0]
	g.pen.BeginAgain(screen, g.density)
	for _, p := range g.shown() { // each paints its own ground: together they tile the window
		p.draw()
	}
	g.pen.End()
	if g.disk.shot != "" {
		g.disk.saveShot(screen)
	}
}

// DrawFinalScreen is Ebiten's. What is drawn has no holes, and so is copied, not blended.
func (g *game) DrawFinalScreen(screen ebiten.FinalScreen, drawn *ebiten.Image, place ebiten.GeoM) {
	if place.Element(0, 0) != 1 {
		ebiten.DefaultDrawFinalScreen(screen, drawn, place)
		return
	}
	screen.DrawImage(drawn, &ebiten.DrawImageOptions{GeoM: place, Blend: ebiten.BlendCopy})
}

// pointElements does what a clicked element stands for. The click is then used up.
func (g *game) pointElements() {
	if !g.hand.Pressed {
		return
	}
	e := g.under()
	if e == nil {
		return
	}
	g.hand.Pressed = false
	if !e.Off {
		e.Do()
	}
}
