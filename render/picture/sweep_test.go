package picture

import (
	"bytes"
	"fmt"
	"image/color"
	"image/png"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/stats"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
)

// sweep is a grid whose score rises along both axes.
func sweep(columns, rows int) analysis.Sweep {
	last := columns*rows - 1
	s := analysis.Sweep{Name: "mine.lua", Field: "Yard", Session: "autonomous", Best: last, Alike: []int{last}}
	axis := func(name string, n int) results.Axis {
		a := results.Axis{Name: name}
		for i := range n {
			a.Values, a.Labels = append(a.Values, float64(i)), append(a.Labels, fmt.Sprintf("%d.12345 mm", i))
		}
		return a
	}
	s.Axes = append(s.Axes, axis("param:gain", columns))
	if rows > 1 {
		s.Axes = append(s.Axes, axis("robot:chassis.mass", rows))
	}
	for c := range columns {
		for r := range rows {
			p := analysis.Point{At: []int{c, r}, Score: stats.Describe([]float64{float64(c + r), float64(c + r + 2)})}
			s.Points = append(s.Points, p)
		}
	}
	return s
}

func shape(columns, rows int) string { return fmt.Sprintf("%d x %d", columns, rows) }

// No words are cut off by the picture's edge or lie over others, on a desk and on a phone, for grids of every size.
func TestASweepsWordsHaveRoom(t *testing.T) {
	for _, width := range []float64{400, SweepWidth, 960} {
		for _, size := range [][2]int{{1, 1}, {2, 1}, {7, 1}, {60, 1}, {2, 2}, {3, 8}, {12, 5}, {60, 60}} {
			for _, name := range []string{"mine.lua", strings.Repeat("a very long name ", 20)} {
				s := sweep(size[0], size[1])
				s.Name, s.Axes[0].Name = name, "param:"+name
				s.Axes[0].Labels[0], s.Axes[0].Labels[size[0]-1] = strings.Repeat("1", 30), strings.Repeat("9", 30)
				wordsHaveRoom(t, Sweep(s, width), fmt.Sprintf("%s, %g wide", shape(size[0], size[1]), width))
			}
		}
	}
}

func wordsHaveRoom(t *testing.T, d Drawing, what string) {
	t.Helper()
	var r paint.Recorder
	d.Draw(&r)
	page := paint.Box{Right: d.Width, Bottom: d.Height}
	for i, text := range r.Texts {
		if !text.Box().Within(page) {
			t.Errorf("%s: %q is cut", what, text.Words)
		}
		for _, other := range r.Texts[:i] {
			if text.Box().Grown(-1.5).Meets(other.Box().Grown(-1.5)) {
				t.Errorf("%s: %q lies over %q", what, text.Words, other.Words)
			}
		}
	}
}

// A slice has room for its words too, wherever its values lie, and its best is told in any case.
func TestASlicesWordsHaveRoom(t *testing.T) {
	for _, width := range []float64{400, SweepWidth} {
		for _, apart := range []bool{false, true} {
			for _, n := range []int{1, 2, 7, 30} {
				s := sweep(n, 1)
				s.Slice, s.Apart, s.Ringed, s.Best, s.Axes[0].Values = true, apart, "the winner", n/2, nil
				for i := range n {
					s.Axes[0].Values = append(s.Axes[0].Values, float64(i*i))
				}
				if apart {
					s.Axes[0].Values = nil
				}
				s.Points[0].Score, s.Points[0].Failed = stats.Distribution{}, 1
				d := Sweep(s, width)
				wordsHaveRoom(t, d, fmt.Sprintf("%d values, %g wide", n, width))
				var r paint.Recorder
				d.Draw(&r)
				if !slices.ContainsFunc(r.Texts, func(w paint.Text) bool { return w.Words == s.Axes[0].Labels[n/2] }) {
					t.Errorf("%d values, %g wide: the best has no label", n, width)
				}
			}
		}
	}
}

// The first axis goes across, the second upwards; the more points, the lighter.
func TestAMapRisesToTheRightAndUpwards(t *testing.T) {
	s := sweep(4, 3)
	d := Sweep(s, SweepWidth)
	var out bytes.Buffer
	if err := WritePNG(&out, d, SweepWidth); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&out)
	if err != nil {
		t.Fatal(err)
	}
	g := newGrid(&paint.Recorder{}, s, SweepWidth)
	g.heading(d.Title)
	g.cells()
	for i, q := range s.Points {
		box := g.cellBox(i)
		x, y := int(box.Left)+8, int(box.Bottom)-8
		if got, want := color.NRGBAModel.Convert(img.At(x, y)), g.shade(q.Score.Mean); got != want {
			t.Errorf("the point %v is %v, want %v", q.At, got, want)
		}
		if i > 0 && q.At[1] > 0 && !(box.Bottom < g.cellBox(i-1).Bottom) || q.At[0] > 0 && !(box.Left > g.cellBox(i-3).Left) {
			t.Errorf("the point %v is not up and to the right", q.At)
		}
	}
	last := -1.0
	for score := g.low; score <= g.high; score++ {
		if light := scene.Luminance(g.shade(score)); light <= last {
			t.Errorf("score %g is no lighter than the one before", score)
		} else {
			last = light
		}
	}
}

// The legend stands beside the map, the greatest score on top, each shade with its own.
func TestAMapHasALegend(t *testing.T) {
	var r paint.Recorder
	Sweep(sweep(4, 3), SweepWidth).Draw(&r)
	var scores []string
	y := 0.0
	for _, text := range r.Texts {
		if text.At.X > SweepWidth-sweepMargin-legendWidth && text.Size == valueSize && text.On != scene.Slate {
			if text.At.Y <= y {
				t.Errorf("%s stands above the one before", text.Words)
			}
			scores, y = append(scores, text.Words), text.At.Y
		}
	}
	if got := strings.Join(scores, " "); got != "6.0 4.8 3.5 2.2 1.0" { // the means go from 1 to 3 + 2 + 1
		t.Errorf("the legend has %s", got)
	}
}

func TestAPointThatIsNotDoneIsLeftEmpty(t *testing.T) {
	for _, rows := range []int{1, 3} {
		s, whole := sweep(3, rows), sweep(3, rows)
		s.Points[1].Score = stats.Distribution{}
		var with, without paint.Recorder
		Sweep(whole, SweepWidth).Draw(&with)
		Sweep(s, SweepWidth).Draw(&without)
		if got := len(with.Fills) + with.Discs - len(without.Fills) - without.Discs; got != 1 {
			t.Errorf("%d rows: %d shapes fewer, want 1", rows, got)
		}
	}
}

func TestTicksAreRoundAndNeitherFewNorMany(t *testing.T) {
	for _, c := range []struct {
		low, high   float64
		least, most int
	}{
		{0, 26, 4, 13}, {0, 1, 4, 13}, {0, 0.3, 4, 13}, {-4, 12, 4, 13}, {0, 1234, 4, 13},
		{0, 26, 3, 6}, {0.13, 0.21, 2, 2},
	} {
		got := roundTicks(c.low, c.high, c.most)
		if len(got) < c.least || len(got) > c.most {
			t.Errorf("%v: %d ticks", c, len(got))
		}
		for _, tick := range got {
			if tick < c.low || tick > c.high+1e-9 {
				t.Errorf("%v: tick at %g", c, tick)
			}
		}
	}
}
