package window

import (
	"fmt"
	"math"
	"testing"

	"chalkfield/render/window/viewmodel"
)

var atSizes = [][2]float64{{960, 600}, {1280, 800}, {1920, 1080}, {3840, 2160}, {960, 2160}, {3840, 600}}

// everyWant is all that can be open at once, with few and many of each.
func everyWant() []wants {
	var list []wants
	for _, lanes := range []int{1, 3, 40} {
		for _, charts := range []int{0, 1, 6, 12} {
			for _, panel := range []float64{0, 90, 340, 1400} {
				for _, legend := range []int{0, 2, 9} {
					for folded := range 32 {
						list = append(list, wants{Lanes: lanes, Charts: charts, Panel: panel, Legend: legend, Aspect: 1.4,
							Layout: viewmodel.Layout{Folded: folded&1 > 0, NoPages: folded&2 > 0, NoCharts: folded&4 > 0,
								NoLesson: folded&8 > 0}, Lesson: folded&16 > 0})
					}
				}
			}
		}
	}
	return list
}

// points is the size of a window in logical points, which grow with it.
func points(size [2]float64) (width, height float64) {
	by := farther(size[0], size[1])
	return size[0] / by, size[1] / by
}

// Whatever is open, no two parts overlap, none leaves the window, and together they cover it. The field has at least
// half of the window, and at the least size two fifths; so has the floor itself of Core Haul, which is 4.2 m by 3 m.
func TestTheFieldHasItsShareWhateverIsOpen(t *testing.T) {
	for _, size := range atSizes {
		width, height := points(size)
		share := 0.5
		if size[0] == 960 || size[1] == 600 {
			share = 0.4
		}
		floorShare := share
		if width/height > 2 || width/height < 1 {
			floorShare = 0 // no floor of this shape fills half of it
		}
		for _, w := range everyWant() {
			f := newFrame(width, height, w)
			checkTiles(t, fmt.Sprint(size, w), f, width, height)
			if got := f.Field.W * f.Field.H / width / height; got < share && floorShare > 0 {
				t.Fatalf("%v %+v: the field has %.3f of the window", size, w, got)
			}
			if got := floorOf(f, 1.4) / width / height; got < floorShare {
				t.Fatalf("%v %+v: the floor has %.3f of the window", size, w, got)
			}
		}
	}
}

// While a field is built it has its share too, beside the list and the values.
func TestAFieldThatIsBuiltHasItsShare(t *testing.T) {
	for _, size := range atSizes {
		width, height := points(size)
		for _, aspect := range []float64{0.5, 1, 1.4, 3} {
			for _, note := range []float64{0, 7 * noteRow} {
				f := newFrame(width, height, wants{Build: true, Aspect: aspect, Note: note})
				checkTiles(t, fmt.Sprint(size, aspect, note), f, width, height)
				if share := f.Field.W * f.Field.H / width / height; share < 0.4 || f.Things.H < 100 || f.Values.H < 100 {
					t.Errorf("%v, floor %g, note %g: the field has %.2f of the window, the lists %+v %+v", size, aspect, note, share,
						f.Things, f.Values)
				}
			}
		}
	}
}

// Whatever a person drags there, the field and both lists keep their room.
func TestDividersOfBuildingLeaveRoom(t *testing.T) {
	for _, size := range atSizes {
		width, height := points(size)
		for _, lists := range []float64{0, 1, 400, 9000} {
			for _, things := range []float64{0, 0.01, 0.4, 1} {
				w := wants{Build: true, Note: 7 * noteRow, Layout: viewmodel.Layout{Lists: lists, Things: things, Dock: 500}}
				f := newFrame(width, height, w)
				checkTiles(t, fmt.Sprint(size, w), f, width, height)
				if f.Field.W < leastWide || f.Things.W < narrowDock || f.Things.H < 99 || f.Values.H < 99 {
					t.Errorf("%v %+v: %+v", size, w.Layout, f)
				}
			}
		}
	}
}

// floorOf is the area of a floor in the field's part of the window.
func floorOf(f frame, aspect float64) float64 {
	high := math.Min(f.Field.H-underFloor-overFloor, (f.Field.W-besideFloor)/aspect)
	return high * high * aspect
}

func checkTiles(t *testing.T, what string, f frame, width, height float64) {
	t.Helper()
	var area float64
	parts := f.parts()
	for name, r := range parts {
		area += r.W * r.H
		if r.X < 0 || r.Y < 0 || r.W < 0 || r.H < 0 || r.Right() > width+1e-9 || r.Bottom() > height+1e-9 {
			t.Errorf("%s: %s leaves the window: %+v", what, name, r)
		}
		for other, o := range parts {
			if name < other && r.X < o.Right()-1e-9 && o.X < r.Right()-1e-9 && r.Y < o.Bottom()-1e-9 &&
				o.Y < r.Bottom()-1e-9 {
				t.Errorf("%s: %s %+v overlaps %s %+v", what, name, r, other, o)
			}
		}
	}
	if whole := width * height; area < whole-1e-6*whole || area > whole+1e-6*whole {
		t.Errorf("%s: the parts cover %g of %g", what, area, whole)
	}
}

// Whatever a person drags the dividers to, the parts still tile the window and each is there.
func TestDividersLeaveEveryPartItsRoom(t *testing.T) {
	for _, size := range atSizes {
		width, height := points(size)
		for _, dock := range []float64{0, 1, 200, 900, 9000} {
			for _, strip := range []float64{0, 1, 150, 9000} {
				for _, share := range []float64{0, 0.01, 0.3, 1} {
					w := wants{Lanes: 5, Charts: 6, Panel: 340, Legend: 3, Note: 36,
						Layout: viewmodel.Layout{Dock: dock, Strip: strip, Panel: share, Charts: 1.01 - share}}
					f := newFrame(width, height, w)
					checkTiles(t, fmt.Sprint(size, w), f, width, height)
					if f.Field.W < leastWide || f.Field.H < leastField-legendRow || f.Notebook.H < tabHeight+100 ||
						f.Panel.H < 90 || f.ChartCount() < 1 || f.Lanes < 1 {
						t.Errorf("%v %+v: %+v", size, w.Layout, f)
					}
				}
			}
		}
	}
}

// A lesson has room to be read beside the routine, whatever else is open beside the field, and alone most of it.
func TestALessonHasItsRoom(t *testing.T) {
	for _, size := range atSizes {
		width, height := points(size)
		for _, w := range everyWant() {
			if !w.Lesson || w.Layout.Folded || w.Layout.NoLesson {
				continue
			}
			f := newFrame(width, height, w)
			least, pages := 110.0, tabHeight
			if !w.Layout.NoPages && w.Panel == 0 && (w.Charts == 0 || w.Layout.NoCharts) {
				least, pages = 0.5*f.Edge.H, 0.35*f.Edge.H
			}
			if f.Lesson.H < least || f.Lesson.W < 260 || f.Notebook.H < pages {
				t.Fatalf("%v %+v: the lesson has %+v, the pages %+v", size, w, f.Lesson, f.Notebook)
			}
		}
	}
}

// Lanes and rows of the legend are given while the field keeps its share; a person may give more.
func TestLanesComeFromWhatTheFieldLeaves(t *testing.T) {
	for _, c := range []struct {
		size  [2]float64
		strip float64
		want  int
	}{
		{[2]float64{960, 600}, 0, 1}, {[2]float64{1280, 800}, 0, 1}, {[2]float64{960, 600}, 200, 5},
		{[2]float64{960, 600}, 90, 1}, {[2]float64{1280, 800}, 130, 4}, {[2]float64{960, 2160}, 0, 5},
	} {
		f := newFrame(c.size[0], c.size[1], wants{Lanes: 5, Charts: 6, Legend: 2, Layout: viewmodel.Layout{Strip: c.strip}})
		if f.Lanes != c.want {
			t.Errorf("%v, divider at %g: %d lanes, want %d", c.size, c.strip, f.Lanes, c.want)
		}
	}
}

// A long message takes its room from the field, and hides no chart.
func TestALongMessageHidesNothing(t *testing.T) {
	for _, size := range atSizes {
		f := newFrame(size[0], size[1], wants{Lanes: 1, Charts: 1, Note: 2 * 18})
		if f.ChartCount() != 1 || f.Charts.Bottom() > f.Note.Y+1e-9 || f.Note.H != noteHeight+36 || f.Field.H < leastField {
			t.Errorf("%v: charts %+v, note %+v, field %+v", size, f.Charts, f.Note, f.Field)
		}
	}
}
