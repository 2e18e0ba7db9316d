package window

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/property"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting/sandbox"
)

// handsFor makes random hands go on with other seeds: go test ./render/window -run RandomHandsOnFiles -hands 10m
var handsFor = flag.Duration("hands", 0, "how long random hands on files go on")

// handled is a routine of two files with all that hands can turn, and driverless macros.
const handedRoutine = `-- a routine for random hands
local arm = require "arm"
return routine {
  title = "random", side = "ochre",
  start = {x = 600, y = 450, heading = 0},
  auto = function(bot)
    bot.here(600, 450, 0)
    bot.intake:run(10)
    bot.drive:visit(1200, 450, {speed = param("speed", 700, 200, 1200)})
    arm.go(bot)
    bot.drive:dock(900, 900, 45)
    bot.drive:trace({{1000, 1000}, {1300, 900}})
    bot.drive:ahead(-100)
    task(function() wait(0.2) note("later") end)
  end,
  driver = function(bot, pad)
    pad:bind("a", function() bot.clamp:shut() end)
    while true do
      bot.drive:arcade(pad.left_y, pad.right_x)
      wait()
    end
  end,
}
`

// wild are hands that do anything. They note what they do, for a message.
type wild struct {
	*hands
	random *rand.Rand
	keys   []action
	files  map[string]string
	done   []string
	asked  bool // what they do now may write a file
}

// Whatever hands do, in any order and mode, the window goes on, and a file changes only where it was asked for, to what
// can be read.
func TestRandomHandsOnFilesChangeNothingUnasked(t *testing.T) {
	end := time.Now().Add(*handsFor)
	for seed := range uint64(1 << 30) {
		if seed >= uint64(property.Cases(2, 6)) && !time.Now().Before(end) {
			return
		}
		if !t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) { newWild(t, seed).goOn(property.Cases(250, 700)) }) {
			return
		}
	}
}

func newWild(t *testing.T, seed uint64) *wild {
	w := &wild{hands: atFile(t, turnable), random: rand.New(rand.NewPCG(seed, 14))}
	w.write("arm.lua", "local arm = {}\nfunction arm.go(bot)\n  bot.drive:face(90)\nend\nreturn arm\n")
	w.write("mine.lua", handedRoutine)
	w.model.Reload()
	w.rest(t)
	for _, a := range w.actions {
		if len(a.keys) > 0 && a.name != "full screen" && a.name != "quit" {
			w.keys = append(w.keys, a)
		}
	}
	w.files = w.folder()
	t.Setenv("PATH", "") // no clipboard, no editor
	return w
}

// folder is what is in the folder.
func (w *wild) folder() map[string]string {
	w.t.Helper()
	files := map[string]string{}
	entries, err := os.ReadDir(".")
	if err != nil {
		w.t.Fatal(err)
	}
	for _, e := range entries {
		data, err := os.ReadFile(e.Name())
		if err != nil {
			w.t.Fatal(err)
		}
		files[e.Name()] = string(data)
	}
	return files
}

func (w *wild) goOn(gestures int) {
	screen := ebiten.NewImage(int(w.width), int(w.height))
	defer func() {
		if problem := recover(); problem != nil {
			w.t.Errorf("after %s: %v", w.lately(), problem)
			panic(problem)
		}
	}()
	for i := range gestures {
		w.asked = false
		w.gesture()
		w.leave = false
		if i%8 == 0 {
			w.calm()
		}
		if i%25 == 0 {
			w.stale, w.disk.shot = true, "" // a picture of the window needs a display
			w.Draw(screen)
		}
		if w.look(); w.t.Failed() {
			return
		}
	}
}

// calm lets the work in the background end.
func (w *wild) calm() {
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(time.Millisecond) {
		w.do(hand{})
		if _, busy := w.model.Busy(); !busy {
			return
		}
	}
	w.t.Fatalf("after %s it never comes to rest", w.lately())
}

func (w *wild) lately() string { return strings.Join(w.done[max(0, len(w.done)-12):], "; ") }

func (w *wild) note(format string, args ...any) {
	w.done = append(w.done, fmt.Sprintf(format, args...))
}

// holds reports whether something of the routine is in hand, which letting go writes.
func (w *wild) holdsText() bool {
	_, held := w.model.Held()
	return held || w.numbers.held() || w.line.open || w.handles.taken != nil
}

func (w *wild) gesture() {
	w.asked = w.holdsText() || w.others.work != nil
	switch w.random.IntN(12) {
	case 0, 1:
		w.clickElement()
	case 2:
		w.dragSomewhere()
	case 3, 4:
		w.pressKey()
	case 5:
		w.typeSomething()
	case 6:
		w.turnWheel()
	case 7:
		w.openMenu()
	case 8:
		w.changeMode()
	case 9:
		w.waitOrResize()
	case 10:
		w.saveOutside()
	case 11:
		w.useList()
	}
	w.asked = w.asked || w.holdsText()
}

// touches is set for what a click on an element may write: rows of cards do what they say, numbers and handles are let
// go.
var touches = regexp.MustCompile(`^(row|number|handle|write|offer) `)

func (w *wild) clickElement() {
	e := w.elements[w.random.IntN(len(w.elements))]
	w.point(middle(e.Rect))
	if over := w.under(); over != nil { // what lies over it
		w.asked = w.asked || touches.MatchString(over.Name)
		w.note("click %s", over.Name)
	}
	w.push()
	w.letGo()
}

func (w *wild) somewhere() (x, y float64) {
	if w.random.IntN(2) == 0 && len(w.elements) > 0 {
		return middle(w.elements[w.random.IntN(len(w.elements))].Rect)
	}
	return w.random.Float64() * w.width, w.random.Float64() * w.height
}

func (w *wild) dragSomewhere() {
	x, y := w.somewhere()
	w.point(x, y)
	if e := w.under(); e != nil {
		w.asked = w.asked || touches.MatchString(e.Name)
	}
	toX, toY := x+w.random.NormFloat64()*120, y+w.random.NormFloat64()*120
	w.note("drag from %.0f, %.0f to %.0f, %.0f", x, y, toX, toY)
	w.push()
	shift, alt := w.random.IntN(4) == 0, w.random.IntN(4) == 0
	for share := 0.25; share <= 1; share += 0.25 {
		w.x, w.y = x+(toX-x)*share, y+(toY-y)*share
		w.do(hand{Down: true, Shift: shift, Alt: alt})
	}
	if w.random.IntN(5) == 0 {
		w.key(ebiten.KeyEscape)
	}
	w.letGo()
}

func (w *wild) pressKey() {
	a := w.keys[w.random.IntN(len(w.keys))]
	s := a.keys[w.random.IntN(len(a.keys))]
	w.note("key %s (%s)", s, a.name)
	travels := s.ctrl && (s.key == ebiten.KeyZ || s.key == ebiten.KeyY) // whichever of the two undoes it is the key of
	w.asked = w.asked || travels || a.name == "take out line" || w.front() != nil
	now := hand{Keys: []ebiten.Key{s.key}, Ctrl: s.ctrl, Shift: s.shift == withShift, Alt: s.alt}
	if s.key >= ebiten.KeyA && s.key <= ebiten.KeyZ && !s.ctrl {
		now.Runes = []rune{'a' + rune(s.key-ebiten.KeyA)}
	}
	w.do(now)
	if w.random.IntN(3) == 0 { // while a drive is under way
		w.held = []ebiten.Key{s.key}
		w.do(hand{})
		w.held = nil
	}
	w.do(hand{})
}

func (w *wild) typeSomething() {
	texts := []string{"bot.dri", "wai", "12", "-0.5", ")", "(", "end", "\"", "speed = ", "möwe", "x", "1e9", "--", " "}
	ends := []ebiten.Key{ebiten.KeyEnter, ebiten.KeyTab, ebiten.KeyEscape, ebiten.KeyBackspace, ebiten.KeyDelete,
		ebiten.KeyHome, ebiten.KeyEnd, ebiten.KeyArrowUp, ebiten.KeyArrowDown, ebiten.KeyArrowLeft}
	text, end := texts[w.random.IntN(len(texts))], ends[w.random.IntN(len(ends))]
	w.note("type %q, then %s", text, end)
	w.asked = w.asked || w.front() != nil
	for _, r := range text {
		w.do(hand{Runes: []rune{r}})
	}
	w.asked = w.asked || w.front() != nil || w.holdsText()
	w.key(end)
}

func (w *wild) turnWheel() {
	w.point(w.somewhere())
	by := float64(w.random.IntN(9) - 4)
	ctrl := w.random.IntN(3) == 0
	w.note("wheel by %g, Ctrl %v", by, ctrl)
	w.do(hand{WheelY: by, Ctrl: ctrl, Shift: w.random.IntN(4) == 0})
	w.asked = w.asked || w.holdsText()
	w.do(hand{WheelX: by})
}

func (w *wild) openMenu() {
	w.point(w.somewhere())
	w.note("menu at %.0f, %.0f", w.x, w.y)
	w.do(hand{Menu: true})
	if w.card == nil || w.random.IntN(4) == 0 {
		return
	}
	rows := slices.DeleteFunc(slices.Clone(w.elements), func(e element) bool { return !strings.HasPrefix(e.Name, "row ") })
	if len(rows) > 0 {
		row := rows[w.random.IntN(len(rows))]
		w.asked = true
		w.note("choose %q", row.Name)
		w.press(row.Name)
	}
}

func (w *wild) changeMode() {
	modes := []viewmodel.Mode{viewmodel.Watch, viewmodel.Measure, viewmodel.Arrange, viewmodel.Drive, viewmodel.Build}
	mode := modes[w.random.IntN(len(modes))]
	w.note("mode %s", mode)
	w.closeCard()
	if mode == viewmodel.Build {
		w.asked = true // it may write a copy to build
		w.action([]string{"build", "build robot"}[w.random.IntN(2)]).do()
		w.do(hand{})
		return
	}
	w.setMode(mode)
	w.do(hand{})
	if mode == viewmodel.Drive && w.card != nil {
		w.key(ebiten.KeyEnter)
		w.held = []ebiten.Key{ebiten.KeyW}
		for range 20 {
			w.do(hand{})
		}
		w.held = nil
	}
}

// useList opens the list of times or of studies, and does what a row says.
func (w *wild) useList() {
	if w.model.Board() != nil || w.model.Driving() || w.card != nil {
		return
	}
	if name := []string{"times", "studies"}[w.random.IntN(2)]; w.beside == nil || w.beside.name != name {
		w.note("list %s", name)
		w.action(name).do()
		w.do(hand{})
	}
	if w.beside == nil || len(w.beside.list()) == 0 {
		return
	}
	row := w.beside.list()[w.random.IntN(len(w.beside.list()))]
	if row.do == nil {
		return
	}
	w.asked = true
	w.note("choose %q", row.label)
	row.do()
	w.do(hand{})
}

func (w *wild) waitOrResize() {
	if w.random.IntN(4) == 0 {
		w.width, w.height = 960+w.random.Float64()*1000, 600+w.random.Float64()*800
	}
	w.note("wait at %.0f x %.0f", w.width, w.height)
	for range w.random.IntN(30) {
		w.do(hand{})
	}
}

// saveOutside saves the routine as an editor would, right or wrong.
func (w *wild) saveOutside() {
	if w.random.IntN(3) > 0 || w.files["mine.lua"] == "" {
		return
	}
	texts := []string{handedRoutine, "-- saved outside\n" + w.files["mine.lua"], "return routine {"}
	text := texts[w.random.IntN(len(texts))]
	w.note("save %d bytes outside", len(text))
	w.hands.write("mine.lua", text)
	w.files["mine.lua"] = text
	w.do(hand{})
	w.model.Reload()
}

// ours are the names that the window gives to files.
var ours = regexp.MustCompile(
	`^(mine|arm|(mine|arm|draft|routine|core_haul_\w+|kiln_yard_\w+|practice_yard_\w+)_\d+)\.lua$|` +
		`^(record|drive)_\d+\.jsonl$|^\w+_\d+\.(png|gif|html|svg|csv|toml)$`)

// built are copies of fields and robots that are built in the window: what is done there is written at once.
var built = regexp.MustCompile(`^\w+_\d+\.toml$`)

// look compares the folder with what it was.
func (w *wild) look() {
	now := w.folder()
	for name, text := range now {
		was, there := w.files[name]
		switch {
		case there && was == text:
		case !w.asked && !built.MatchString(name):
			w.t.Errorf("%s changed unasked after %s", name, w.lately())
		case !ours.MatchString(name):
			w.t.Errorf("a file %s after %s", name, w.lately())
		case there && strings.HasSuffix(name, ".lua") && readable(was) && !readable(text):
			w.t.Errorf("%s cannot be read any more after %s:\n%s\nit was\n%s", name, w.lately(), text, was)
		}
	}
	for name := range w.files {
		if _, there := now[name]; !there {
			w.t.Errorf("%s is gone after %s", name, w.lately())
		}
	}
	w.files = now
}

func readable(text string) bool {
	_, err := sandbox.Compile("it.lua", text)
	return err == nil
}
