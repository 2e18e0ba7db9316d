package picture

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/scene/scenetest"
)

// scenes are everyday and odd ones by name.
func scenes() map[string]*scene.Scene {
	station, hook := scenetest.Station(), scenetest.Hook()
	strip, tower := scenetest.Station(), scenetest.Station()
	for i := range strip.Floor {
		strip.Floor[i].X *= 6
		tower.Floor[i].Y *= 6
	}
	crowd := scenetest.Hook()
	for k := range 5 {
		crowd.Sides = append(crowd.Sides, fields.Side{Name: fmt.Sprintf("a side with a long name %d", k), Colour: "#2b343b"})
	}
	build := func(r scenetest.Run, o scene.Options, t float64) *scene.Scene {
		return scene.Build(scene.Input{Field: r.Field, Record: r.Record(), T: t, Options: o})
	}
	whole := scene.Options{Whole: true}
	return map[string]*scene.Scene{
		"whole run": build(scenetest.Run{Field: station, Seconds: 20, Robots: 1, Drift: 0.15}, whole, 0),
		"midway": build(scenetest.Run{Field: station, Seconds: 20, Robots: 1, Drift: 0.15},
			scene.Options{Show: scene.Everything}, 9),
		"concave":       build(scenetest.Run{Field: hook, Seconds: 12, Robots: 3, Drift: 4}, whole, 0),
		"many events":   build(scenetest.Run{Field: station, Seconds: 60, Robots: 4, Drift: 0.4, Events: 900}, whole, 0),
		"long names":    build(scenetest.Run{Field: station, Seconds: 20, Robots: 2, Drift: 0.4, Long: true}, whole, 0),
		"long and many": build(scenetest.Run{Field: hook, Seconds: 20, Robots: 3, Events: 300, Long: true}, whole, 0),
		"many sides":    build(scenetest.Run{Field: crowd, Seconds: 5, Robots: 5}, whole, 0),
		"strip":         build(scenetest.Run{Field: strip, Seconds: 20, Robots: 1}, whole, 0),
		"tower":         build(scenetest.Run{Field: tower, Seconds: 20, Robots: 1}, whole, 0),
		"no robot":      build(scenetest.Run{Field: station, Seconds: 2}, whole, 0),
		"empty record":  scene.Build(scene.Input{Field: station, Record: &record.Record{}}),
		"field alone":   scene.Build(scene.Input{Field: hook}),
		"nothing":       scene.Build(scene.Input{}),
	}
}

var widths = []float64{480, 600, 760, 900, 1200}

func each(t *testing.T, check func(t *testing.T, p *Page, r *paint.Recorder)) {
	for name, s := range scenes() {
		for _, width := range widths {
			t.Run(fmt.Sprintf("%s %v", name, width), func(t *testing.T) {
				var r paint.Recorder
				p := NewPage(s, width)
				p.Draw(&r)
				check(t, p, &r)
			})
		}
	}
}

func TestNoTextIsCutOrCovered(t *testing.T) {
	each(t, func(t *testing.T, p *Page, r *paint.Recorder) {
		page := paint.Box{Right: p.Width, Bottom: p.Height}
		for i, a := range r.Texts {
			if !a.Box().Within(page) {
				t.Errorf("%q at %+v reaches out of the page %+v", a.Words, a.Box(), page)
			}
			for _, b := range r.Texts[:i] {
				if a.Box().Grown(-0.5).Meets(b.Box().Grown(-0.5)) {
					t.Errorf("%q at %+v lies over %q at %+v", a.Words, a.Box(), b.Words, b.Box())
				}
			}
		}
		if len(r.Texts) == 0 {
			t.Error("a page without a word")
		}
	})
}

// The ground that a text names is checked against the pixels in render/picture.
func TestAllTextHasContrast(t *testing.T) {
	each(t, func(t *testing.T, _ *Page, r *paint.Recorder) {
		for _, text := range r.Texts {
			if got := scene.Contrast(text.Colour, text.On); got < scene.TextContrast || text.Colour.A != 255 ||
				text.On.A != 255 {
				t.Errorf("%q: contrast %.2f, want at least %.1f", text.Words, got, scene.TextContrast)
			}
			if text.Size < 11 {
				t.Errorf("%q is %v px small", text.Words, text.Size)
			}
		}
	})
}

// All events are listed or counted, whatever the room.
func TestEveryEventIsListedOrCounted(t *testing.T) {
	for name, s := range scenes() {
		for _, width := range widths {
			listed, more := 0, 0
			for _, b := range NewPage(s, width).blocks {
				if list, is := b.block.(*eventList); is {
					listed += len(list.rows)
					more += list.more
				}
			}
			if listed+more != len(s.Furniture.Events) {
				t.Errorf("%s at %v: %d listed and %d counted of %d", name, width, listed, more, len(s.Furniture.Events))
			}
		}
	}
}

func TestWeightyEventsStay(t *testing.T) {
	var events []scene.EventRow
	for i := range 500 {
		events = append(events, scene.EventRow{Number: i + 1, T: float64(i), Words: "a small thing", Weight: 2})
	}
	events[7].Weight, events[480].Weight = 9, 9
	_, below := layEvents(events, 300, 0, 270, 2)
	var numbers []int
	for _, list := range below {
		for _, row := range list.rows {
			numbers = append(numbers, row.event.Number)
		}
	}
	has := map[int]bool{}
	for i, n := range numbers {
		has[n] = true
		if i > 0 && n < numbers[i-1] {
			t.Errorf("event %d stands after %d", n, numbers[i-1])
		}
	}
	if !has[8] || !has[481] {
		t.Errorf("the weighty events 8 and 481 are not among %v", numbers)
	}
}

func TestSheetSaysWhoWonAndHow(t *testing.T) {
	tags := []scene.SideTag{{Name: "ochre"}, {Name: "teal"}}
	for _, c := range []struct {
		sheet record.Sheet
		want  string
	}{
		{record.Sheet{Sides: []string{"ochre", "teal"}, Total: []float64{4, 2}, Winner: 0}, "ochre is ahead"},
		{record.Sheet{Sides: []string{"ochre", "teal"}, Total: []float64{4, 4}, Winner: 1, Broken: "core on rack"},
			"teal is ahead by core on rack"},
		{record.Sheet{Sides: []string{"ochre", "teal"}, Total: []float64{4, 4}, Winner: -1}, "a draw"},
	} {
		rec := &record.Record{Sheet: c.sheet}
		told := painted(newSheet(&scene.Furniture{Scored: rec, Sides: tags}, 300))
		if got := told[len(told)-1].Words; got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func painted(p *Print) []paint.Text {
	var r paint.Recorder
	p.draw(&r, new(paint.Drawer), paint.Box{Right: p.Width, Bottom: p.Height})
	return r.Texts
}

// A half counted on both sides, and numbers wider than any game's.
func TestNumbersOfTheSheetNeverMeet(t *testing.T) {
	tags := []scene.SideTag{{Name: "ochre"}, {Name: "teal"}}
	for _, width := range []float64{220, 250, 312, 500} {
		for _, row := range []record.Row{
			{Rule: "ahead", Count: []float64{0.5, 0.5}, Points: []float64{3, 3}},
			{Rule: "ahead", Count: []float64{123.25, 0.5}, Points: []float64{1234.75, 3}},
		} {
			sheet := record.Sheet{Sides: []string{"ochre", "teal"}, Total: row.Points, Rows: []record.Row{row}, Winner: -1}
			texts := painted(newSheet(&scene.Furniture{Scored: &record.Record{Sheet: sheet}, Sides: tags}, width))
			for i, a := range texts {
				for _, b := range texts[:i] {
					if a.Box().Grown(-0.5).Meets(b.Box().Grown(-0.5)) {
						t.Errorf("%v px: %q lies over %q", width, a.Words, b.Words)
					}
				}
			}
		}
	}
}

// The numbers at the floor's edges are the places of the tile grid, at every width: a person reads a routine's mm
// there.
func TestCoordinatesStandAtTheFloorsEdges(t *testing.T) {
	f, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	s := scene.Build(scene.Input{Field: f})
	for _, width := range widths {
		p := NewPage(s, width)
		var r paint.Recorder
		p.Draw(&r)
		seen := map[string]bool{}
		low, left := p.View.Pixel(geom.Vec{}), p.View.Pixel(geom.Vec{})
		for _, text := range r.Texts {
			mm, err := strconv.ParseFloat(text.Words, 64)
			if err != nil {
				continue
			}
			box, at := text.Box(), p.View.Pixel(geom.Vec{X: mm / 1000, Y: mm / 1000})
			atEnd := box.Right > p.View.Area.Right-6 && at.X > box.Left && at.X < box.Right // it gives way to the edge
			below := box.Top > low.Y && (math.Abs((box.Left+box.Right)/2-at.X) < 1 || atEnd)
			beside := box.Right < left.X && math.Abs((box.Top+box.Bottom)/2-at.Y) < 1
			if !below && !beside {
				t.Errorf("%v px: %q stands at %+v, its place is at %v", width, text.Words, box, at)
			}
			seen[fmt.Sprint(text.Words, below)] = true
		}
		for _, want := range []string{"0true", "2400true", "600false", "2400false"} {
			if !seen[want] {
				t.Errorf("%v px: no number %s among %v", width, want, seen)
			}
		}
	}
}

func TestScaleBarIsRound(t *testing.T) {
	for _, c := range []struct {
		scale, width float64
		want         string
	}{{200, 210, "1 m"}, {200, 410, "2 m"}, {200, 199, "500 mm"}, {10, 210, "20 m"}, {2000, 210, "100 mm"},
		{200, 1100, "5 m"}} {
		metres, got := scaleBar(units.Metric, c.scale, c.width)
		if got != c.want || metres*c.scale > c.width {
			t.Errorf("scale %v, width %v: %q (%v m), want %q", c.scale, c.width, got, metres, c.want)
		}
	}
}
