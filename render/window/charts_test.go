package window

import (
	"math"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/window/viewmodel"
)

func TestLimitsOfAnAxisAreRound(t *testing.T) {
	for _, c := range [][4]float64{{-1290, 1293, -1500, 1500}, {0, 1, 0, 1}, {0.31, 0.69, 0.3, 0.7}, {-1, 1, -1, 1},
		{11.23, 12.61, 11.2, 12.8}, {-0.003, 7, 0, 0}, {99999, 100001, 99999, 100001}} {
		low, high := roundLimits(c[0], c[1])
		if low > c[0] || high < c[1] {
			t.Errorf("%g to %g: the limits %g to %g leave some out", c[0], c[1], low, high)
		}
		if c[3] != 0 && (math.Abs(low-c[2]) > 1e-9 || math.Abs(high-c[3]) > 1e-9) {
			t.Errorf("%g to %g: %g to %g, want %g to %g", c[0], c[1], low, high, c[2], c[3])
		}
	}
}

// The run before lies under the one shown; the second hand tells the change since.
func TestChartsTellOfBothRunsAndTheSecondHand(t *testing.T) {
	h := besideFile(t, departs, waits)
	h.model.ToggleSignal("x")
	h.model.ToggleSignal("speed")
	h.model.Seek(0.5)
	h.key(ebiten.KeyK)
	h.model.Seek(2.5)
	s, _ := h.model.Now.SignalNamed(0, "x")
	real := s.Curves[0]
	words := h.charts.moreOf(h.model.Now, s, real)
	now, _ := valueAt(h.model.Now, h.model.Now.Series(0, s, real), 2.5)
	then, _ := valueAt(h.model.Now, h.model.Now.Series(0, s, real), 0.5)
	if !(now > then+100) || words != " (pale 600), +"+number(now-then)+" since the pin" {
		t.Errorf("x went from %g to %g, it says %q", then, now, words)
	}
	if low, high := h.charts.bounds(h.model.Now, s); low > 600 || high < now {
		t.Errorf("the axis goes from %g to %g", low, high)
	}
	if !strings.Contains(h.charts.pinWords(), "pin at 0.50 s, hand +2.00 s") {
		t.Errorf("it says %q", h.charts.pinWords())
	}
	h.draws(t, "charts of both")
	h.key(ebiten.KeyK)
	h.model.Paler()
	if words := h.charts.moreOf(h.model.Now, s, real); words != "" || h.charts.pinWords() != "" {
		t.Errorf("without both it says %q", words)
	}
}

// The wheel over the charts stretches the time with Ctrl and moves along it with Shift or sideways.
func TestTheWheelGoesThroughTheChartsTime(t *testing.T) {
	h := atFile(t, departs)
	h.model.Seek(10)
	x, y := middle(h.frame.Charts)
	h.point(x, y)
	span := func() [2]float64 { from, to := h.charts.span(); return [2]float64{from, to} }
	h.do(hand{WheelY: 3, Ctrl: true})
	wide := span()
	if wide[1]-wide[0] > 12 || len(h.model.Signals) != 1 || h.model.Tab != viewmodel.RoutineTab {
		t.Fatalf("Ctrl and the wheel show %v", wide)
	}
	h.do(hand{WheelX: -1})
	moved := span()
	h.do(hand{WheelY: 1, Shift: true})
	if back := span(); !(moved[0] > wide[0]) || math.Abs(back[0]-wide[0]) > 1e-9 {
		t.Errorf("from %v sideways to %v and back to %v", wide, moved, back)
	}
}

func TestNumbersHaveTheDigitsThatAReaderCanUse(t *testing.T) {
	for v, want := range map[float64]string{0: "0.00", -1e-9: "0.00", 0.0012: "0.0012", -0.05: "-0.0500", 0.5: "0.50",
		12.34: "12.3", -123.4: "-123", 654321: "654321", 1e12: "1e+12", -2500000: "-2.5e+06"} {
		if got := number(v); got != want {
			t.Errorf("%g is told as %q, want %q", v, got, want)
		}
	}
}
