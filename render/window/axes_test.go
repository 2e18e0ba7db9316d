package window

import (
	"fmt"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/geom"
	"chalkfield/render/scene"
	"chalkfield/render/scene/paint"
	"chalkfield/render/window/viewmodel"
)

// onField is a window's game that shows an empty field in an area, without a display.
func onField(t *testing.T, name string, area Rect) *game {
	t.Helper()
	field, err := fields.OpenEmbedded(name)
	if err != nil {
		t.Fatal(err)
	}
	g := bare(&viewmodel.Model{Now: &viewmodel.Run{Setup: rehearse.Setup{Field: field}}})
	g.drawn = scene.Build(scene.Input{Field: field})
	g.frame.Field = area
	return g
}

// The numbers of both axes are there and have room at every size of the window, in all of the field and in a part of
// it.
func TestBothAxesHaveNumbersAtEverySizeAndZoom(t *testing.T) {
	areas := map[string]Rect{"960x600": {X: 88, Y: 40, W: 565, H: 320}, "low": {X: 88, Y: 40, W: 565, H: 240},
		"1280x800": {X: 88, Y: 40, W: 782, H: 470}, "3840x2160": {X: 88, Y: 40, W: 1400, H: 760}}
	for _, name := range fields.Embedded() {
		for size, area := range areas {
			for _, zoom := range []float64{1, 1.25, 2.44, 6, 12} {
				for _, share := range []geom.Vec{{X: 0.1, Y: 0.1}, {X: 0.5, Y: 0.5}, {X: 0.7, Y: 0.85}} {
					t.Run(fmt.Sprint(name, size, zoom, share), func(t *testing.T) {
						g := onField(t, name, area)
						low, high := g.model.Now.Setup.Field.Floor.Bounds()
						g.field.showAll()
						g.field.place()
						if centre := g.field.view.Place(g.field.middle()); zoom > 1 {
							g.field.zoom, g.field.shift = zoom, geom.Vec{X: low.X + share.X*(high.X-low.X) - centre.X,
								Y: low.Y + share.Y*(high.Y-low.Y) - centre.Y}
						}
						g.field.place()
						checkAxes(t, g)
						if corner := g.field.view.Pixel(low); zoom == 1 &&
							(g.field.axes.x-corner.X > 0.5 || corner.Y-g.field.axes.y > 0.5) {
							t.Errorf("the axes stand at %.1f, %.1f, over the floor, whose corner is at %v", g.field.axes.x, g.field.axes.y,
								corner)
						}
					})
				}
			}
		}
	}
}

func checkAxes(t *testing.T, g *game) {
	t.Helper()
	area, counts := g.frame.Field, [2]int{}
	end := [2]float64{-1e9, -1e9}
	labels := append([]scene.Label(nil), g.field.axesOf(area).labels...)
	for _, label := range labels {
		p := g.field.view.Pixel(label.At)
		axis, along, size := 0, p.X, paint.Width(label.Words, label.Size, false)+7
		left, top := p.X-size/2, p.Y+5
		if label.Beside.X != 0 {
			axis, along, size = 1, -p.Y, 16
			left, top = p.X-5-paint.Width(label.Words, label.Size, false)-7, p.Y-8
		}
		if left < area.X-size/2 || top < area.Y-8 || top+16 > area.Bottom()+1 {
			t.Errorf("%q at %v has no room in %+v", label.Words, p, area)
		}
		if along-end[axis] < size {
			t.Errorf("%q stands %.0f points from the number before it", label.Words, along-end[axis])
		}
		end[axis] = along
		counts[axis]++
		if want := 1000 * []float64{label.At.X, label.At.Y}[axis]; !strings.HasPrefix(fmt.Sprintf("%.0f", want+0),
			label.Words) {
			t.Errorf("%q stands at %.1f mm", label.Words, want)
		}
	}
	if counts[0] < 2 || counts[1] < 2 {
		t.Errorf("%d numbers along x, %d along y", counts[0], counts[1])
	}
}

func TestAxisStepsAreRound(t *testing.T) {
	for _, c := range []struct{ least, tile, want float64 }{
		{0.35, 0.6, 0.6}, {0.61, 0.6, 1.2}, {1.3, 0.6, 2.4}, {0.3, 0.6, 0.6}, {0.19, 0.6, 0.2}, {0.12, 0.6, 0.2},
		{0.05, 0.6, 0.05},
		{0.7, 0, 1}, {3, 0, 5},
	} {
		if got := axisStep(c.least, c.tile, 1, 0.001); got != c.want {
			t.Errorf("at least %g with tiles of %g: %g, want %g", c.least, c.tile, got, c.want)
		}
	}
	if got := axisStep(0.1, 0.6, 3, 0.001); got != 0.6 {
		t.Errorf("with five tiles in view %g, want a tile", got)
	}
}

// A legend that is too long for a low field loses its last rows, and says how many.
func TestALongLegendIsShortenedNotLeftOut(t *testing.T) {
	var rows []scene.LegendRow
	for i := range 12 {
		rows = append(rows, scene.LegendRow{Words: fmt.Sprint("explains mark number ", i)})
	}
	kept, places := shortLegend(rows, 500, 2)
	if len(kept) < 4 || len(kept) != len(places) || places[len(places)-1].Y > legendRow {
		t.Fatalf("%d rows at %v", len(kept), places)
	}
	if want := fmt.Sprintf("%d more: L lists all", 13-len(kept)); kept[len(kept)-1].Words != want {
		t.Errorf("the last row says %q, want %q", kept[len(kept)-1].Words, want)
	}
}
