package window

import (
	"math"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/record"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// crowded is a window at its least size that shows a match with a main task in each phase and so many others.
func crowded(t *testing.T, tasks int) *game {
	t.Helper()
	g := handed(t)
	g.width, g.height = 960, 600
	g.memory.Layout.Strip = 190 // its divider was dragged up
	lanes := []viewmodel.Lane{{To: 15, From: 0}, {From: 15, To: 120}}
	for i := range tasks {
		lanes = append(lanes, viewmodel.Lane{Task: i + 1, To: 20})
	}
	g.model.Now.Lanes[0] = lanes
	g.model.Now.Record.Header.Phases = []record.Phase{{Name: "autonomous", Seconds: 15},
		{Name: "driver", Start: 15, Seconds: 105}}
	g.step(hand{})
	return g
}

// At the least size a match's two main tasks and three more have lanes where a person makes room, and their names are
// whole.
func TestTheSmallestWindowShowsTheTasksAndTheirWholeNames(t *testing.T) {
	g := crowded(t, 3)
	if shown := g.strip.shownLanes(); len(shown) != 5 || g.strip.hidden() != "" {
		t.Fatalf("%d lanes, hidden %q", len(shown), g.strip.hidden())
	}
	for _, lane := range g.strip.lanes() {
		name := g.strip.laneName(g.model.Now, lane)
		if width := paint.Width(name, small, false); width > g.strip.gutterOf(g.strip.row(3)).W {
			t.Errorf("%q is %.0f points wide in a gutter of %.0f", name, width, g.frame.Gutter)
		}
	}
	if last := g.strip.row(fixedRows + 4); last.Bottom() > g.frame.Strip.Bottom() {
		t.Errorf("the last lane %+v leaves the strip %+v", last, g.frame.Strip)
	}
}

// What has no room is told, and the wheel over the names or a key shows it.
func TestLanesWithoutRoomAreScrolled(t *testing.T) {
	g := crowded(t, 12)
	over := hand{X: g.frame.Strip.X + 20, Y: g.strip.row(4).Y}
	wheel := func(by float64) hand { h := over; h.WheelY = by; return h }
	paged := func(key ebiten.Key) hand { h := over; h.Keys, h.Ctrl = []ebiten.Key{key}, true; return h }
	width := g.frame.Gutter
	for _, c := range []struct {
		h    hand
		want string
		top  int
	}{
		{over, "6 more below: wheel", 0}, {wheel(-1), "1 above, 5 below: wheel", 1},
		{paged(ebiten.KeyPageDown), "2 above, 4 below: wheel", 2},
		{paged(ebiten.KeyPageUp), "1 above, 5 below: wheel", 1}, {wheel(1), "6 more below: wheel", 0},
		{wheel(1), "6 more below: wheel", 0},
	} {
		from, to := g.strip.span()
		g.step(c.h)
		if g.strip.hidden() != c.want || g.strip.top != c.top || g.strip.shownLanes()[0].Task != g.strip.lanes()[c.top].Task {
			t.Errorf("it says %q with %d above, want %q", g.strip.hidden(), g.strip.top, c.want)
		}
		if a, b := g.strip.span(); a != from || b != to || g.frame.Gutter != width {
			t.Errorf("the time's scale changed")
		}
	}
	for range 9 {
		g.step(wheel(-1))
	}
	if g.strip.hidden() != "6 more above: wheel" {
		t.Errorf("at the end it says %q", g.strip.hidden())
	}
	g.model.Now.Lanes[0] = g.model.Now.Lanes[0][:1] // another run with fewer
	g.step(over)
	if len(g.strip.shownLanes()) != 1 || g.strip.hidden() != "" {
		t.Errorf("%d lanes, hidden %q", len(g.strip.shownLanes()), g.strip.hidden())
	}
}

// A press on an event goes to it; a hand that is not quite still stays there, and one that moves on takes the time
// along.
func TestADragMayBeginOnAnEvent(t *testing.T) {
	g := handed(t)
	g.step(hand{})
	var mark viewmodel.Mark
	for _, m := range g.model.Now.Marks {
		if m.Row != record.ScoreLane && m.T > 1 {
			mark = m
			break
		}
	}
	x, y := g.strip.timeX(mark.T), g.strip.row(int(mark.Row)).Y+8
	g.step(hand{X: x, Y: y})
	g.step(hand{X: x, Y: y, Pressed: true, Down: true})
	at := g.model.Now.Record.Events[g.strip.overEvent].T
	if g.model.Time != at || g.model.Selected.Kind != viewmodel.EventThing {
		t.Fatalf("at %g s with %v selected, want the event at %g s", g.model.Time, g.model.Selected, at)
	}
	if g.step(hand{X: x + 3, Y: y, Down: true}); g.model.Time != at {
		t.Errorf("a hand that shakes moved the time to %g s", g.model.Time)
	}
	for _, far := range []float64{200, 1} { // and back to where it began
		g.step(hand{X: x + far, Y: y, Down: true})
		if want := g.strip.timeAt(x + far); math.Abs(g.model.Time-want) > record.SamplePeriod {
			t.Errorf("dragged by %g points it shows %g s, want %g s", far, g.model.Time, want)
		}
	}
	g.step(hand{X: x + 1, Y: y, Released: true})
	if g.step(hand{X: x + 100, Y: y}); math.Abs(g.model.Time-g.strip.timeAt(x+1)) > record.SamplePeriod {
		t.Errorf("let go, it went on to %g s", g.model.Time)
	}
}
