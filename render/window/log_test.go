package window

import (
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/app/alongside"
	"chalkfield/internal/app/logfile"
	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
)

// atSpeed is a routine whose first way is driven at the speed put in for %.
const atSpeed = `return routine { start = {x = 600, y = 600, heading = 0}, auto = function(bot)
  wait(0.5) bot.drive:ahead(600, {speed = %}) wait(0.3) bot.drive:face(90) bot.drive:ahead(500, {speed = 500})
end }`

// A log of the real robot is drawn beside the run: its way and where it departs on the field, its curves under the
// rehearsal's, and in words.
func TestALogLiesBesideTheRun(t *testing.T) {
	var real *viewmodel.Log
	h := atFileBy(t, strings.Replace(atSpeed, "%", "500", 1), func(files viewmodel.Files) (viewmodel.Loaded, error) {
		loaded, err := loadFile(files)
		loaded.Log = real
		return loaded, err
	})
	var csv strings.Builder
	run := h.model.Now
	if err := logfile.WriteSimulated(&csv, run.Record, run.Setup.Entrants[0].Robot); err != nil {
		t.Fatal(err)
	}
	log, err := logfile.Read("run.csv", strings.NewReader(csv.String()), logfile.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	real = &viewmodel.Log{File: log, Options: alongside.Options{Limits: alongside.Usual}}
	h.key(ebiten.KeyR)
	st := h.until("the log lies beside the run", func(st *state) bool { return st.Log != "" && !st.Busy })
	if st.Log != "stays within 50 mm and 5 deg." || st.Bad {
		t.Errorf("of its own log it says %q, %q", st.Log, st.Notice)
	}
	h.write("mine.lua", strings.Replace(atSpeed, "%", "400", 1))
	departs := "departs by more than 50 mm or 5 deg"
	st = h.until("it departs", func(st *state) bool { return strings.HasPrefix(st.Log, departs) })
	if !strings.Contains(st.Log, "mine.lua:2") || !strings.Contains(st.Notice, "The log run.csv departs") {
		t.Errorf("it says %q, %q", st.Log, st.Notice)
	}
	h.model.Seek(10)
	h.notebook.turnTo(viewmodel.ScoreTab)
	h.draws(t, "a log beside the run")
	dashed, marked := 0, false
	for _, layer := range h.drawn.Layers {
		for _, item := range layer.Items {
			if item.Pen.Dash == scene.Long {
				dashed++
			}
		}
		for _, label := range layer.Labels {
			marked = marked || strings.HasPrefix(label.Words, "log departs at ")
		}
	}
	if dashed != 2 || !marked {
		t.Errorf("%d lines of the log on the field, its departure marked: %v", dashed, marked)
	}
	for key, want := range map[string]int{"speed": 1, "volts": 2, "battery": 1, "air": 0, "wheels": 2} {
		signal, _ := h.model.Now.SignalNamed(0, key)
		curves := 0
		for _, curve := range signal.Curves {
			if _, values := h.model.Now.RealSeries(0, signal, curve); values != nil {
				curves++
			}
		}
		if curves != want {
			t.Errorf("%s: %d curves of the log, want %d", key, curves, want)
		}
	}
	other := 99.0
	real.At = &other
	h.key(ebiten.KeyR)
	st = h.until("it does not fit", func(st *state) bool { return st.Bad })
	if !strings.HasPrefix(st.Notice, "run.csv: it has nothing") {
		t.Errorf("it says %q", st.Notice)
	}
}
