package window

import (
	"slices"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/window/viewmodel"
)

// loops is a routine with a line that runs three times.
const loops = `return routine {
  start = {x = 600, y = 1000, heading = 0},
  auto = function(bot)
    local count, way = 0, {from = {1, 2, 3, 4, 5}}
    for i = 1, 3 do
      count = count + i
      wait(0.2)
    end
    bot.drive:ahead(300)
  end,
}
`

// atLoops is a window with that routine, when it is known what it did.
func atLoops(t *testing.T) *hands {
	t.Helper()
	h := atFile(t, loops)
	h.width, h.height = 1280, 800
	h.known()
	return h
}

// known waits until it is known what the run's routine did.
func (h *hands) known() {
	h.t.Helper()
	h.until("the lines are known", func(*state) bool { return h.model.History(0) != nil })
}

// lineAt points at a line of the page, right of its letters' beginning.
func (h *hands) lineAt(line string) {
	h.t.Helper()
	r := h.element(h.t, "line "+line).Rect
	h.point(r.Right()+40, r.Y+r.H/2)
}

// A click chooses a line; the keys go through the times at which it ran.
func TestClickedLineAndItsTimes(t *testing.T) {
	h := atLoops(t)
	h.lineAt("7")
	h.push()
	h.letGo()
	if h.model.Line() != 7 || !strings.Contains(h.model.Notice.Text, "ran 3 times") {
		t.Fatalf("line %d, %q", h.model.Line(), h.model.Notice.Text)
	}
	var times []float64
	for range 3 {
		h.shift(ebiten.KeyN)
		times = append(times, h.model.Time)
	}
	h.shift(ebiten.KeyP)
	if times = append(times, h.model.Time); !slices.Equal(times, []float64{0.2, 0.4, 0, 0.4}) {
		t.Errorf("went to %v", times)
	}
	h.point(h.element(t, "line 7").Rect.X+5, h.y)
	if tip := h.element(t, "line 7").Tip; !strings.Contains(tip, "took 0.60 s") || !strings.Contains(tip, "Click: pause") {
		t.Errorf("tip %q", tip)
	}
}

// A line that is looked for is chosen: its times are gone through, and it is the one that is edited.
func TestALineThatIsFoundIsMeant(t *testing.T) {
	h := atLoops(t)
	h.point(5, 5)
	h.ctrl(ebiten.KeyF)
	h.types("wait")
	h.key(ebiten.KeyEnter)
	h.shift(ebiten.KeyN)
	if h.model.Line() != 7 || h.model.Time != 0.2 {
		t.Errorf("line %d, at %g s", h.model.Line(), h.model.Time)
	}
	h.ctrl(ebiten.KeyF)
	h.types("way")
	h.key(ebiten.KeyEnter)
	h.key(ebiten.KeyU)
	if !h.line.open || h.line.line != 4 {
		t.Errorf("line %d is edited", h.line.line)
	}
}

// The line's menu runs to it.
func TestRunToTheLine(t *testing.T) {
	h := atLoops(t)
	h.lineAt("9")
	h.do(hand{Menu: true})
	h.press("row run to the line: the next time at which it runs")
	if h.model.Time != 0.6 || h.model.Line() != 9 {
		t.Errorf("at %g s, line %d", h.model.Time, h.model.Line())
	}
	h.lineAt("7")
	h.key(ebiten.KeyF7)
	if h.model.Time != 0 {
		t.Errorf("F7 goes to %g s, want the first time", h.model.Time)
	}
}

// A click on a line's number puts a stop there, playing pauses at it; typed conditions and the list do too.
func TestStopsByHand(t *testing.T) {
	h := atLoops(t)
	h.press("line 9")
	h.key(ebiten.KeySpace)
	h.until("it pauses", func(s *state) bool { return !s.Playing })
	if h.model.Time != 0.6 {
		t.Errorf("paused at %g s: %s", h.model.Time, h.model.Notice.Text)
	}
	h.shift(ebiten.KeyF4)
	h.enter("x > 700 mm")
	if len(h.model.Stops) != 2 || h.state().Filter != "" {
		t.Fatalf("%+v, %q is typed", h.model.Stops, h.state().Filter)
	}
	h.enter("x > 700 V")
	if !strings.Contains(h.model.Notice.Text, `This signal is in mm, not in "V": write x > 10 mm`) || !h.model.Notice.Bad {
		t.Errorf("told %q", h.model.Notice.Text)
	}
	h.key(slices.Repeat([]ebiten.Key{ebiten.KeyBackspace}, 9)...)
	h.press("row line 9")
	h.model.GoTo(0)
	h.model.Toggle()
	h.until("it pauses", func(s *state) bool { return !s.Playing })
	if h.model.Time < 0.8 || h.model.Time == h.model.End {
		t.Errorf("paused at %g s with the line's stop off", h.model.Time)
	}
	h.press("remove " + h.model.Stops[1].Words())
	h.press("line 9")
	if len(h.model.Stops) != 0 {
		t.Errorf("%+v are left", h.model.Stops)
	}
}

// enter types a line and presses Enter.
func (h *hands) enter(text string) {
	h.do(hand{Runes: []rune(text)})
	h.key(ebiten.KeyEnter)
}

// The list of variables is beside the field; a number becomes a curve, a table shows its entries.
func TestVariablesByHand(t *testing.T) {
	h := atLoops(t)
	h.model.GoTo(0.3)
	h.key(ebiten.KeyF4)
	h.press("row count")
	if n := len(h.model.Signals); n != 2 || !viewmodel.IsVariable(h.model.Signals[1]) {
		t.Fatalf("charts %q", h.model.Signals)
	}
	h.press("row + way")
	h.press("row    + from")
	h.press("row       [2]")
	if n := len(h.model.Signals); n != 3 {
		t.Errorf("charts %q", h.model.Signals)
	}
	if under := h.frame.Panel; under.H == 0 || under.X < h.frame.Field.Right() {
		t.Errorf("the list is at %+v", under)
	}
	h.model.GoTo(5)
	h.do(hand{})
	if rows := h.beside.list(); len(rows) != 1 || !strings.Contains(rows[0].about, "No task of the routine is at work") {
		t.Errorf("after its end: %+v", rows)
	}
}

// What the routine did is looked for only while something shows it.
func TestNothingIsLookedForUnasked(t *testing.T) {
	h := atLoops(t)
	h.model.Page(viewmodel.ScoreTab)
	h.key(ebiten.KeyR)
	h.until("it is rehearsed again", func(s *state) bool { return s.Runs == 2 && !s.Busy })
	for range 50 {
		h.do(hand{})
	}
	if h.model.Now.Kept != nil {
		t.Error("the run was rehearsed once more, and nothing shows it")
	}
	h.key(ebiten.KeyF4)
	h.known()
}

// A file that the routine requires has lines, times and stops of its own.
func TestStopInARequiredFile(t *testing.T) {
	const arm = "local arm = {}\nfunction arm.go(bot)\n  wait(0.1)\n  bot.drive:ahead(100)\nend\nreturn arm\n"
	h := atFile(t, loops)
	h.write("arm.lua", arm)
	h.write("mine.lua", strings.Replace("local arm = require \"arm\"\n"+loops, "bot.drive:ahead(300)", "arm.go(bot)", 1))
	h.key(ebiten.KeyR)
	h.rest(t)
	h.known()
	h.press("files")
	h.press(h.row("row arm.lua"))
	h.press("line 4")
	if tip := h.element(t, "line 4").Tip; !strings.Contains(tip, "Line 4 ran 1 time, at 0.70 s") {
		t.Errorf("tip %q", tip)
	}
	h.model.ShowFile("")
	if _, here := h.model.StopAt(4); here {
		t.Error("the routine's own line 4 has it too")
	}
	h.model.GoTo(0)
	h.model.Toggle()
	h.until("it pauses", func(s *state) bool { return !s.Playing })
	if h.model.Time != 0.7 || !strings.Contains(h.model.Notice.Text, "line 4 of arm.lua, bot.drive:ahead(100)") {
		t.Errorf("paused at %g s: %s", h.model.Time, h.model.Notice.Text)
	}
}

// No key means two things in one mode.
func TestNoKeyIsGivenTwice(t *testing.T) {
	h := atFile(t, loops)
	type meant struct {
		key  stroke
		mode viewmodel.Mode
	}
	names := map[meant]string{}
	for _, a := range h.actions {
		for _, s := range a.keys {
			for _, shift := range []either{withShift, noShift} {
				if s.shift != anyShift && s.shift != shift {
					continue
				}
				for _, mode := range []viewmodel.Mode{viewmodel.Watch, viewmodel.Measure, viewmodel.Arrange} {
					m := meant{stroke{s.key, s.ctrl, shift, s.alt}, mode}
					if a.mode != "" && a.mode != mode {
						continue
					}
					if other := names[m]; other != "" && s.shift != anyShift {
						t.Errorf("%s is the key of %q and of %q", s, other, a.name)
					}
					names[m] = a.name
				}
			}
		}
	}
}

// With the lists of a moment open the time is gone through as without them.
func TestTimeGoesOnBesideTheListsOfAMoment(t *testing.T) {
	h := atFile(t, turnable)
	h.key(ebiten.KeyF4, ebiten.KeyArrowRight, ebiten.KeyArrowRight, ebiten.KeyArrowLeft)
	if at := h.model.Time; at < 0.019 || at > 0.021 || !h.focus {
		t.Errorf("stepped to %g s", at)
	}
	h.shift(ebiten.KeyArrowRight)
	if at := h.model.Time; at < 1.01 || at > 1.03 {
		t.Errorf("a second on it is %g s", at)
	}
	h.shift(ebiten.KeyF4)
	space := hand{Keys: []ebiten.Key{ebiten.KeySpace}, Runes: []rune{' '}}
	if h.do(space); !h.model.Playing || h.beside.filter != "" {
		t.Errorf("with the stops open Space types %q", h.beside.filter)
	}
	h.do(hand{Keys: []ebiten.Key{ebiten.KeyB}, Runes: []rune{'b'}})
	if h.do(space); h.beside.filter != "b " {
		t.Errorf("in a condition Space gives %q", h.beside.filter)
	}
}
