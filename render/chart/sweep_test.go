package chart

import (
	"bytes"
	"image/color"
	"image/png"
	"testing"

	"chalkfield/internal/study/findings"
	"chalkfield/internal/study/part"
	"chalkfield/internal/study/stats"
	"chalkfield/render/scene"
)

// sweep is a grid whose score rises along both axes.
func sweep(rows, columns int) findings.Sweep {
	s := findings.Sweep{Name: "mine.lua", Field: "Yard", Session: "autonomous", Best: rows*columns - 1, Alike: []int{rows*columns - 1}}
	axis := func(name string, n int) part.Axis {
		a := part.Axis{Name: name}
		for i := range n {
			a.Values, a.Labels = append(a.Values, float64(i)), append(a.Labels, string(rune('a'+i%26)))
		}
		return a
	}
	if rows > 1 {
		s.Axes = append(s.Axes, axis("param:gain", rows))
	}
	s.Axes = append(s.Axes, axis("robot:chassis.mass", columns))
	for r := range rows {
		for c := range columns {
			p := findings.Point{At: []int{r, c}, Score: stats.Describe([]float64{float64(r + c), float64(r + c + 2)})}
			if rows == 1 {
				p.At = []int{c}
			}
			s.Points = append(s.Points, p)
		}
	}
	return s
}

func TestMapIsAPictureOfItsSize(t *testing.T) {
	for name, s := range map[string]findings.Sweep{"curve": sweep(1, 7), "map": sweep(4, 6), "large": sweep(60, 60), "one point": sweep(1, 1)} {
		var first, second bytes.Buffer
		if err := SweepPNG(&first, s); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if err := SweepPNG(&second, s); err != nil || !bytes.Equal(first.Bytes(), second.Bytes()) {
			t.Errorf("%s: two pictures of the same sweep differ (%v)", name, err)
		}
		img, err := png.Decode(&first)
		if err != nil {
			t.Fatal(err)
		}
		if b := img.Bounds(); b.Dx() != width || b.Dy() != height {
			t.Errorf("%s: %d x %d pixels", name, b.Dx(), b.Dy())
		}
	}
}

// The map must be lightest where the score is greatest and darkest where it is least.
func TestMapGetsLighterWithTheScore(t *testing.T) {
	m := &scoreMap{low: 2, high: 10}
	last := -1
	for score := 2.0; score <= 10; score++ {
		c := m.shade(score)
		light := 299*int(c.R) + 587*int(c.G) + 114*int(c.B)
		if light <= last {
			t.Errorf("score %g is no lighter than the one before", score)
		}
		last = light
	}
	if flat := (&scoreMap{low: 3, high: 3}); flat.shade(3) == (m.shade(2)) {
		t.Error("one score everywhere is the best score")
	}
}

// The legend stands beside the map: in its column are the shades of the least and of the greatest score.
func TestMapHasALegend(t *testing.T) {
	var out bytes.Buffer
	if err := SweepPNG(&out, sweep(4, 6)); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&out)
	if err != nil {
		t.Fatal(err)
	}
	var rows []int // of the first pixel of the least and the greatest shade, from above
	for _, shade := range []scene.Colour{scene.ScoreShade(1), scene.ScoreShade(0)} {
		for y := range height {
			if color.NRGBAModel.Convert(img.At(width-84, y)) == shade {
				rows = append(rows, y)
				break
			}
		}
	}
	if len(rows) != 2 || rows[0] >= rows[1] {
		t.Errorf("greatest and least shade at rows %v of the legend", rows)
	}
}

func TestAPointThatIsNotDoneIsLeftEmpty(t *testing.T) {
	s := sweep(3, 3)
	s.Points[4].Score = stats.Distribution{}
	var out bytes.Buffer
	if err := SweepPNG(&out, s); err != nil {
		t.Error(err)
	}
}

func TestTicksAreRoundAndNeitherFewNorMany(t *testing.T) {
	for _, c := range []struct{ low, high float64 }{{0, 26}, {0, 1}, {0, 0.3}, {-4, 12}, {0, 1234}, {2, 2}} {
		got := roundTicks(c.low, c.high)
		if c.high > c.low && (len(got) < 4 || len(got) > 13) || len(got) == 0 {
			t.Errorf("%v: %d ticks", c, len(got))
		}
		for _, tick := range got {
			if tick.Value < c.low || tick.Value > c.high+1e-9 {
				t.Errorf("%v: tick at %g", c, tick.Value)
			}
		}
	}
}
