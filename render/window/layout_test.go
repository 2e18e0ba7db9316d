package window

import (
	"fmt"
	"testing"
)

var atSizes = [][2]float64{{960, 600}, {960, 2160}, {1280, 800}, {1920, 1080}, {2560, 1440}, {3840, 2160}, {3840, 600}}

func TestPartsNeitherOverlapNorLeaveTheWindow(t *testing.T) {
	for _, size := range atSizes {
		for _, w := range []wants{{}, {1, 0, true, 0, 44}, {9, 1, true, 18, 0}, {3, 3, false, 0, 63},
			{40, 12, true, 126, 999}} {
			t.Run(fmt.Sprint(size, w), func(t *testing.T) {
				f := newFrame(size[0], size[1], w)
				parts := map[string]Rect{"bar": f.Bar, "rail": f.Rail, "field": f.Field, "legend": f.Legend, "notebook": f.Notebook,
					"controls": f.Controls, "strip": f.Strip, "charts": f.Charts, "note": f.Note}
				var area float64
				for name, r := range parts {
					area += r.W * r.H
					if r.X < 0 || r.Y < 0 || r.W < 0 || r.H < 0 || r.Right() > size[0]+1e-9 || r.Bottom() > size[1]+1e-9 {
						t.Errorf("%s leaves the window: %+v", name, r)
					}
					for other, o := range parts {
						if name < other && r.X < o.Right()-1e-9 && o.X < r.Right()-1e-9 && r.Y < o.Bottom()-1e-9 &&
							o.Y < r.Bottom()-1e-9 {
							t.Errorf("%s %+v overlaps %s %+v", name, r, other, o)
						}
					}
				}
				if whole := size[0] * size[1]; area < whole-1e-6*whole || area > whole+1e-6*whole {
					t.Errorf("the parts cover %g of %g", area, whole)
				}
			})
		}
	}
}

func TestTheSmallestWindowKeepsAUsableFieldAndNotebook(t *testing.T) {
	f := newFrame(960, 600, wants{Lanes: 5, Charts: 3, Notebook: true})
	if f.Field.H < leastField || f.Field.W < 500 || f.Notebook.W < leastNotebook {
		t.Errorf("field %+v, notebook %+v", f.Field, f.Notebook)
	}
	if f.ChartCount() < 1 {
		t.Error("no room for one chart")
	}
}

func TestOneChartFitsWithoutShrinkingTheFieldBelowHalfAtTheUsualSize(t *testing.T) {
	f := newFrame(1280, 800, wants{Lanes: 2, Charts: 1, Notebook: true})
	if f.ChartCount() != 1 || f.Lanes < 2 || f.Field.H < 0.45*800 {
		t.Errorf("%+v", f)
	}
}

func TestALongMessagePushesTheChartUpInsteadOfHidingIt(t *testing.T) {
	for _, size := range atSizes {
		f := newFrame(size[0], size[1], wants{Lanes: 1, Charts: 1, Notebook: true, Note: 2 * 18})
		if f.ChartCount() != 1 || f.Charts.Bottom() > f.Note.Y+1e-9 || f.Note.H != noteHeight+36 || f.Field.H < leastField {
			t.Errorf("%v: charts %+v, note %+v, field %+v", size, f.Charts, f.Note, f.Field)
		}
	}
}

// Lanes are thinned, the field gives height, and charts are left out, before a lane is.
func TestChartsGiveWayBeforeLanes(t *testing.T) {
	for _, c := range []struct {
		size          [2]float64
		want          wants
		lanes, charts int
		lane          float64
	}{
		{[2]float64{960, 600}, wants{Lanes: 1, Charts: 1}, 1, 1, rowHeight},
		{[2]float64{960, 600}, wants{Lanes: 2, Charts: 1}, 2, 1, thinRow},
		{[2]float64{960, 600}, wants{Lanes: 5, Charts: 1}, 5, 1, rowHeight},
		{[2]float64{960, 600}, wants{Lanes: 5, Charts: 3}, 5, 1, rowHeight},
		{[2]float64{960, 600}, wants{Lanes: 5}, 5, 0, rowHeight},
		{[2]float64{960, 600}, wants{Lanes: 8, Charts: 1, Note: 36}, 8, 0, thinRow},
		{[2]float64{960, 600}, wants{Lanes: 8, Charts: 1, Note: 126}, 3, 0, thinRow},
		{[2]float64{960, 600}, wants{Lanes: 40, Charts: 1}, mostLanes, 1, thinRow},
		{[2]float64{1280, 800}, wants{Lanes: 5, Charts: 1}, 5, 1, rowHeight},
		{[2]float64{1280, 800}, wants{Lanes: 5, Charts: 2}, 5, 2, rowHeight},
		{[2]float64{1280, 800}, wants{Lanes: 1, Charts: 4}, 1, 4, rowHeight},
		{[2]float64{1920, 1080}, wants{Lanes: 8, Charts: 2}, 8, 2, rowHeight},
		{[2]float64{960, 600}, wants{}, 1, 0, rowHeight},
	} {
		f := newFrame(c.size[0], c.size[1], c.want)
		if f.Lanes != c.lanes || f.ChartCount() != c.charts || f.Lane != c.lane {
			t.Errorf("%v %+v: %d lanes of %g, %d charts", c.size, c.want, f.Lanes, f.Lane, f.ChartCount())
		}
	}
}
