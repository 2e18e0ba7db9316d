package window

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
)

// While somebody drives the field has what the desk leaves: its floor is larger than it can be otherwise.
func TestTheFieldIsLargeInADrive(t *testing.T) {
	for _, size := range atSizes {
		width, height := points(size)
		for _, aside := range []bool{false, true} {
			for _, note := range []float64{0, noteRow, 4 * noteRow} {
				f := newFrame(width, height, wants{Aspect: 1.4, Drive: true, Aside: aside, Note: note})
				checkTiles(t, fmt.Sprint(size, aside, note), f, width, height)
				if f.Desk.W < leastDesk || f.Desk.H < 150 || aside == (f.Notebook.H == tabHeight) {
					t.Errorf("%v: desk %+v, notebook %+v", size, f.Desk, f.Notebook)
				}
			}
		}
		watched := newFrame(width, height, wants{Aspect: 1.4, Lanes: 4, Charts: 1, Legend: 2})
		driven := newFrame(width, height, wants{Aspect: 1.4, Drive: true})
		if height <= width && floorOf(driven, 1.4) < 1.03*floorOf(watched, 1.4) {
			t.Errorf("%v: the floor of a drive has %.0f, watched %.0f", size, floorOf(driven, 1.4), floorOf(watched, 1.4))
		}
	}
}

// The notebook and the charts fold as a drive begins, and are back as they were when it ends; pages can be had
// meanwhile.
func TestWhatStandsBesideTheFieldComesBackAfterADrive(t *testing.T) {
	for _, l := range []viewmodel.Layout{{}, {Dock: 300}, {Folded: true}, {NoPages: true}, {NoCharts: true}} {
		g := handed(t)
		g.memory.Divide(l)
		g.step(hand{})
		before := g.frame
		g.driver.begin(g.model.DriverSessions()[0].Name)
		g.held(ebiten.KeyW, 30)
		if g.frame.Charts.H > 0 || g.frame.Notebook.H != tabHeight || g.frame.Desk.H == 0 {
			t.Errorf("%+v: charts %+v, notebook %+v, desk %+v", l, g.frame.Charts, g.frame.Notebook, g.frame.Desk)
		}
		if g.keyed(tabKey(1)); g.frame.Notebook.H <= tabHeight+leastSection {
			t.Errorf("%+v: a page has %+v", l, g.frame.Notebook)
		}
		g.action("fold pages").do()
		if g.step(hand{}); g.frame.Notebook.H != tabHeight {
			t.Errorf("%+v: it is not folded again: %+v", l, g.frame.Notebook)
		}
		g.driver.end()
		g.closeCard()
		g.model.Say("")
		if g.step(hand{}); g.memory.Layout != l || g.frame.Notebook != before.Notebook || g.frame.Charts != before.Charts {
			t.Errorf("%+v: afterwards %+v, notebook %+v, was %+v", l, g.memory.Layout, g.frame.Notebook, before.Notebook)
		}
	}
}

func TestTheStripOfADriveShowsTheLastTenSeconds(t *testing.T) {
	g := handed(t)
	g.driver.begin(g.model.DriverSessions()[0].Name)
	for _, end := range []float64{4, 13} {
		for g.model.Time < end {
			g.model.AdvanceDrive(0.1, scripting.PadState{LeftY: 0.1})
		}
		from, to := g.strip.span()
		if want := math.Max(g.model.Time-10, 0); from != want || to != want+10 {
			t.Errorf("at %g s it shows %g to %g s", g.model.Time, from, to)
		}
	}
	g.driver.end()
	if from, to := g.strip.span(); from != 0 || to != g.model.Now.Seconds() {
		t.Errorf("afterwards %g to %g s", from, to)
	}
}

// The desk has room for all it tells at every size, and for the macros of all buttons; its stick and buttons drive.
func TestTheDeskDrivesByThePointer(t *testing.T) {
	for _, size := range sizes {
		h := atFile(t, withDriver("  driver = function(bot, pad)\n"+
			"    for i, name in ipairs{\"a\", \"b\", \"x\", \"y\", \"up\", \"down\", \"left\", \"right\", \"l1\", \"l2\", "+
			"\"r1\", \"r2\"} do\n      pad:bind(name, function() note(name) end)\n    end\n"+
			"    while true do bot.drive:arcade(pad.left_y, pad.right_x) wait() end\n  end,\n"))
		h.width, h.height = size[0], size[1]
		h.key(ebiten.KeyD, ebiten.KeyEnter)
		h.draws(t, "driving")
		h.press("start drive")
		if !h.model.Begun() {
			t.Fatal("the button did not start the clock")
		}
		h.draws(t, "the clock runs")
		if n := len(h.desk.macros); n != len(scripting.Buttons) {
			t.Errorf("%v: %d macros are shown", size, n)
		}
		r := h.element(t, "stick").Rect
		x, y := middle(r)
		h.point(x, y)
		h.push()
		h.y = r.Y - 30
		h.do(hand{Down: true})
		if s := h.desk.shown; s.LeftY != 1 || s.RightX != 0 {
			t.Errorf("the stick forward gives %+v", s)
		}
		h.x, h.y = x+r.W/4, y
		h.do(hand{Down: true})
		if s := h.desk.shown; s.LeftY != 0 || math.Abs(s.RightX-0.5) > 0.01 {
			t.Errorf("the stick to the side gives %+v", s)
		}
		h.draws(t, "the stick is held")
		if h.letGo(); h.desk.shown.RightX != 0 {
			t.Errorf("let go it gives %+v", h.desk.shown)
		}
		for _, name := range []string{"pad b", "macro y"} {
			h.press(name)
		}
		h.until("both macros ran", func(*state) bool {
			var notes []string
			for _, e := range h.model.Now.Record.Events {
				notes = append(notes, e.Text)
			}
			return slices.Contains(notes, "b") && slices.Contains(notes, "y")
		})
		if h.press("end drive"); h.model.Driving() || h.card == nil || h.card.name != "driven" {
			t.Errorf("the button did not end the drive: %v", h.card)
		}
	}
}

func TestThePointersStickDrivesTankToo(t *testing.T) {
	p := padMaker{tank: true, puts: putsOf(viewmodel.PadMap{})}
	got := p.moved(scripting.PadState{}, stickAt(Rect{W: 100, H: 100}, 75, 25))
	if got.LeftY != 1 || got.RightY != 0 || got.RightX != 0 {
		t.Errorf("forward and to the right by half: %+v", got)
	}
	if idle := stickAt(Rect{W: 100, H: 100}, 51, 49); idle.X != 0 || idle.Y != 0 {
		t.Errorf("about the middle: %+v", idle)
	}
}

// No two buttons of the picture of the pad overlap, and none leaves it.
func TestThePadsButtonsLieApart(t *testing.T) {
	p := newPadPicture(Rect{X: 10, Y: 20, W: 200, H: 170})
	for i, a := range scripting.Buttons {
		box := p.button(a).box()
		if box.X < p.at.X || box.Y < p.at.Y || box.Right() > p.at.Right() || box.Bottom() > p.at.Bottom() || box.W == 0 {
			t.Errorf("%s lies at %+v of %+v", a, box, p.at)
		}
		for _, b := range scripting.Buttons[:i] {
			o := p.button(b).box()
			if box.X < o.Right() && o.X < box.Right() && box.Y < o.Bottom() && o.Y < box.Bottom() {
				t.Errorf("%s overlaps %s", a, b)
			}
		}
	}
}
