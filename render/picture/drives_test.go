package picture

import (
	"context"
	"strings"
	"testing"

	"chalkfield/internal/app/testdrive"
	"chalkfield/internal/base/units"
	"chalkfield/render/scene/paint"
	"chalkfield/sim/robot"
)

// Every drive is named, no words lie over others or are cut, all stays on the page, wide and narrow.
func TestThePictureOfTestDrivesNamesEach(t *testing.T) {
	spec, err := robot.OpenEmbedded("barrow")
	if err != nil {
		t.Fatal(err)
	}
	plan, err := testdrive.Make(context.Background(), spec, testdrive.Room{Length: 2.4, Width: 1.6})
	if err != nil {
		t.Fatal(err)
	}
	for _, width := range []float64{1200, 960, 400} {
		var r paint.Recorder
		d := Drives(units.Metric, plan, width)
		d.Draw(&r)
		page := paint.Box{Right: d.Width, Bottom: d.Height}
		named := map[string]int{}
		for i, a := range r.Texts {
			named[a.Words]++
			if strings.HasSuffix(a.Words, "…") {
				t.Errorf("%g: %q is cut", width, a.Words)
			}
			if !a.Box().Within(page) {
				t.Errorf("%g: %q reaches out of the page", width, a.Words)
			}
			for _, b := range r.Texts[:i] {
				if a.Box().Grown(-0.5).Meets(b.Box().Grown(-0.5)) {
					t.Errorf("%g: %q lies over %q", width, a.Words, b.Words)
				}
			}
		}
		for _, drive := range plan.Drives {
			if named[drive.Name] != 1 {
				t.Errorf("%g: %s is named %d times", width, drive.Name, named[drive.Name])
			}
		}
	}
}
