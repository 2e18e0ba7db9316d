package window

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/app/gains"
	"chalkfield/render/window/viewmodel"
	"chalkfield/sim/robot"
)

// withRobot opens a routine with a robot of the folder's own: the hauler.
func withRobot(t *testing.T) (*hands, []byte) {
	t.Helper()
	text, err := robot.EmbeddedSource("hauler")
	if err != nil {
		t.Fatal(err)
	}
	h := atFileBy(t, slowly, func(files viewmodel.Files) (viewmodel.Loaded, error) {
		if _, err := os.Stat("robot.toml"); err != nil {
			if err := os.WriteFile("robot.toml", text, 0o600); err != nil {
				return viewmodel.Loaded{}, err
			}
		}
		loaded, err := loadFile(files)
		if err != nil {
			return loaded, err
		}
		loaded.Watch = append(loaded.Watch, "robot.toml")
		loaded.Setup.Entrants[0].Robot, err = robot.Load("robot.toml")
		return loaded, err
	})
	return h, text
}

// Gains are turned beside their step, which changes at once; the file changes only when that is asked for, and undo
// takes it back.
func TestGainsAreTurnedAndWritten(t *testing.T) {
	h, text := withRobot(t)
	unwritten := func(what string) {
		t.Helper()
		if now, err := os.ReadFile("robot.toml"); err != nil || !bytes.Equal(now, text) {
			t.Fatalf("%s, the file is another: %v", what, err)
		}
	}
	h.ctrl(ebiten.KeyG)
	h.draws(t, "the step of gains")
	h.choose("loop", ebiten.KeyArrowRight, ebiten.KeyArrowRight)
	before := h.steps(t)
	if before.Loop.Name != "lift" || *before.Is.Rise != *before.Was.Rise {
		t.Fatalf("%+v", before)
	}
	h.choose("p", ebiten.KeyArrowLeft, ebiten.KeyArrowLeft, ebiten.KeyArrowLeft, ebiten.KeyArrowLeft)
	if now := h.steps(t); !(*now.Is.Rise > 1.1*(*now.Was.Rise)) || *now.Was.Rise != *before.Was.Rise {
		t.Errorf("with less p it rises in %g s, by the file in %g s", *now.Is.Rise, *now.Was.Rise)
	}
	h.draws(t, "another step")
	unwritten("turned")

	h.key(ebiten.KeyEnter) // on a gain that is turned: writes
	h.until("it is rehearsed anew", func(*state) bool {
		return strings.HasPrefix(h.model.Notice.Text, "Wrote the gains of lift")
	})
	now, _ := os.ReadFile("robot.toml")
	if !bytes.Contains(now, []byte(`p = "0.546 V/deg", d = "0.02 V s/deg", hold = "1 V"`)) {
		t.Errorf("it was not written: %q", h.model.Notice.Text)
	}
	if list := h.model.Gains(); list[0].Turned || list[0].File != "0.546 V/deg" {
		t.Errorf("what is written is the file's now: %+v", list)
	}
	h.ctrl(ebiten.KeyZ)
	unwritten("undone")
}

// steps are what is drawn.
func (h *hands) steps(t *testing.T) *viewmodel.GainSteps {
	t.Helper()
	s, err := h.model.GainSteps()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Sets of gains are taken by a row; a page of the notebook takes the place of the step, until something is turned.
func TestSetsOfGainsAreTaken(t *testing.T) {
	h, _ := withRobot(t)
	h.ctrl(ebiten.KeyG)
	h.choose("loop", ebiten.KeyArrowRight)
	h.choose("as Ziegler", ebiten.KeyEnter)
	if s := h.steps(t); s.Is.Verdict == gains.Settles && *s.Is.Overshoot < 0.2 {
		t.Errorf("Ziegler and Nichols overshoot a turn by %+v", s.Is)
	}
	h.choose("as in the file", ebiten.KeyEnter)
	if s := h.steps(t); s.Is.Rise == nil || *s.Is.Rise != *s.Was.Rise {
		t.Errorf("the file's are others: %+v", s.Is)
	}
	h.press("tab score")
	if h.gains.shows() || !h.notebook.shown() {
		t.Error("the page is not shown")
	}
	h.choose("battery", ebiten.KeyArrowRight)
	if !h.gains.shows() || h.model.GainCase() != "low battery" {
		t.Errorf("the step is not shown, with a %s", h.model.GainCase())
	}
	h.choose("write", ebiten.KeyEnter)
	if !strings.Contains(h.model.Notice.Text, "no gain is turned") {
		t.Errorf("it says %q", h.model.Notice.Text)
	}
}

// A robot that comes with the program is no file: it is said how to have one.
func TestGainsOfNoFileAreNotWritten(t *testing.T) {
	h := atFile(t, slowly)
	h.ctrl(ebiten.KeyG)
	h.choose("p", ebiten.KeyArrowRight, ebiten.KeyEnter)
	if !h.model.Notice.Bad || !strings.Contains(h.model.Notice.Text, "chalkfield new") {
		t.Errorf("it says %q", h.model.Notice.Text)
	}
}

// Tuned gains are looked for in the background, and taken when they are found; how near gains are to ringing comes
// later too, and is of those that are shown.
func TestTunedGainsAreFoundInTheBackground(t *testing.T) {
	h, _ := withRobot(t)
	h.ctrl(ebiten.KeyG)
	h.choose("loop", ebiten.KeyArrowRight, ebiten.KeyArrowRight)
	before := h.steps(t)
	h.choose("tuned", ebiten.KeyEnter)
	h.until("they are found", func(*state) bool { return strings.HasPrefix(h.model.Notice.Text, "Took the tuned") })
	if s := h.steps(t); s.Is.Verdict != gains.Settles || !(*s.Is.Settling < *before.Is.Settling) {
		t.Errorf("tuned gains settle no sooner: %+v", s.Is)
	}
	h.until("their margins are known", func(*state) bool { return h.steps(t).Near != nil })
	if factor, late := h.steps(t).Near.Near(); factor || late {
		t.Errorf("tuned gains are near to ringing: %+v", h.steps(t).Near)
	}
	h.choose("as Ziegler", ebiten.KeyEnter)
	h.until("the table's margins are known", func(*state) bool { return h.steps(t).Near != nil })
	if _, late := h.steps(t).Near.Near(); !late {
		t.Errorf("the table's gains bear a tick more: %+v", h.steps(t).Near)
	}
	h.draws(t, "with margins")
}
