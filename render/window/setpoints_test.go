package window

import (
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/setpoints"
	"chalkfield/internal/base/units"
	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
)

// A table of setpoints is drawn over the run, with a pattern of its own that the legend explains, and in words.
func TestATableOfSetpointsLiesOverTheRun(t *testing.T) {
	var table *viewmodel.Setpoints
	h := atFileBy(t, strings.Replace(atSpeed, "%", "500", 1), func(files viewmodel.Files) (viewmodel.Loaded, error) {
		loaded, err := loadFile(files)
		loaded.Setpoints = table
		return loaded, err
	})
	plan, err := setpoints.NewPlan(h.model.Setup, setpoints.UsualPeriod)
	if err != nil {
		t.Fatal(err)
	}
	rec, err := rehearse.RunWatched(t.Context(), h.model.Setup, plan.Watch)
	if err != nil {
		t.Fatal(err)
	}
	made, err := plan.Table(rec)
	if err != nil {
		t.Fatal(err)
	}
	table = &viewmodel.Setpoints{Name: "plan.csv", Table: made}
	says := func() string { return strings.Join(h.model.Now.Setpoints.Lines(units.Metric, nil), " ") }
	h.key(ebiten.KeyR)
	h.until("the table lies over the run", func(st *state) bool { return h.model.Now.Setpoints != nil && !st.Busy })
	if !strings.Contains(says(), "Table: plan.csv The rehearsal keeps to it within 50 mm and 5 deg.") {
		t.Errorf("of its own table it says %q", says())
	}
	runs := h.model.Runs
	h.write("mine.lua", strings.Replace(atSpeed, "%", "300", 1))
	h.until("it is rehearsed again", func(st *state) bool { return h.model.Runs > runs && !st.Busy })
	if !strings.Contains(says(), "The rehearsal departs from it by more than 50 mm or 5 deg at ") {
		t.Errorf("of a slower run it says %q", says())
	}
	h.model.Seek(1.5)
	h.notebook.turnTo(viewmodel.ScoreTab)
	h.draws(t, "a table of setpoints over the run")
	drawn := 0
	for _, layer := range h.drawn.Layers {
		for _, item := range layer.Items {
			if item.Pen.Dash == scene.Tripled {
				drawn++
			}
		}
	}
	explained := false
	for _, row := range h.drawn.Furniture.Legend {
		explained = explained || row.Line.Dash == scene.Tripled && row.Words == "the table of setpoints"
	}
	if drawn != 2 || !explained {
		t.Errorf("%d lines of the table on the field, in the legend: %v", drawn, explained)
	}
}
