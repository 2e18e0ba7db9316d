package window

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/window/viewmodel"
	"chalkfield/sim/robot"
)

// hexer is the least that makes a robot.
const hexer = `title = "Hexer" # ours
[chassis]
length = "400 mm"
width = "380 mm"
mass = "6 kg"
[[wheels]] # the axle
at = ["0 mm", "160 mm"]
train = "left"
radius = "40 mm"
[[wheels]]
at = ["0 mm", "-160 mm"]
train = "right"
radius = "40 mm"
`

// atRobotBench begins to build a robot in a folder of the test's own.
func atRobotBench(t *testing.T, text string) *hands {
	t.Helper()
	t.Chdir(t.TempDir())
	t.Setenv("DISPLAY", "")
	h := &hands{t: t}
	h.write("robot.toml", text)
	h.game = newGame(context.Background(), Options{Build: "robot.toml", Load: loadFile, Out: io.Discard, Err: io.Discard},
		viewmodel.Settings{Zoom: 1}, "")
	t.Cleanup(h.game.close)
	h.density, h.width, h.height = 1, 1280, 800
	h.dump.path = filepath.Join(t.TempDir(), "state.json")
	h.do(hand{})
	if h.model.Board() == nil || !h.buildsRobot() {
		t.Fatal(h.model.Notice.Text)
	}
	return h
}

// robotSays fails unless the robot's file has a text.
func (h *hands) robotSays(what string, want ...string) {
	h.t.Helper()
	data, err := os.ReadFile("robot.toml")
	if err != nil {
		h.t.Fatal(err)
	}
	for _, text := range want {
		if !strings.Contains(string(data), text) {
			h.t.Errorf("%s: no %s; notice %q; in\n%s", what, text, h.model.Notice.Text, data)
		}
	}
}

func (h *hands) clickAt(x, y float64) {
	h.point(h.at(x, y))
	h.push()
	h.letGo()
}

// choosing adds a thing from a list by its name.
func (h *hands) choosing(key ebiten.Key, typed string) {
	h.key(key)
	h.types(typed)
	h.key(ebiten.KeyEnter)
}

func TestARobotIsBuiltByHand(t *testing.T) {
	h := atRobotBench(t, hexer)
	h.clickAt(-0.1, 0.06)
	h.point(h.at(0.25, 0))
	h.key(ebiten.KeyK)
	h.robotSays("a corner is put in", `outline = [["-200 mm", "-190 mm"], ["200 mm", "-190 mm"], ["250 mm", "0 mm"], `+
		`["200 mm", "190 mm"], ["-200 mm", "190 mm"]]`, "# ours")
	h.key(ebiten.KeyW)
	h.clickAt(0.12, 0.16)
	h.robotSays("a pair of wheels", `at = ["120 mm", "160 mm"]`, `at = ["120 mm", "-160 mm"]`)
	h.dragField(0.12, 0.16, 0.14, 0.15)
	h.robotSays("a wheel is dragged with its twin", `at = ["140 mm", "150 mm"]`, `at = ["140 mm", "-150 mm"]`)
	h.choosing(ebiten.KeyA, "conveyor")
	h.dragField(0.32, 0, -0.28, 0)
	h.robotSays("a conveyor", `conveyor.exit = ["320 mm", "0 mm"]`, `conveyor.out = ["-280 mm", "0 mm"]`)
	h.choosing(ebiten.KeyA, "intake")
	h.dragField(0.1, -0.1, 0.2, 0.1)
	h.robotSays("an intake", `intake.mouth = [["100 mm", "-100 mm"]`)
	if words := boardWords(h.model.Board().Sheet()); !strings.Contains(words, "can be driven; 1 doubtful thing") {
		t.Errorf("a mouth within the hull: %s", words)
	}
	h.choosing(ebiten.KeyE, "distance")
	h.clickAt(0, 0.19)
	h.robotSays("a distance sensor", `distance = { at = ["0 mm", "190 mm"], direction = "90 deg" }`)
	h.ctrl(ebiten.KeyZ)
	if data, err := os.ReadFile("robot.toml"); err != nil || strings.Contains(string(data), "distance") {
		t.Errorf("%v: not undone:\n%s", err, data)
	}
	if _, err := robot.Load("robot.toml"); err != nil {
		t.Error(err)
	}
	h.key(ebiten.KeyEscape, ebiten.KeyEscape)
	if h.model.Board() != nil || h.model.Files.Robot != "robot.toml" {
		t.Errorf("ended, the robot is %q", h.model.Files.Robot)
	}
}

// The drawing holds still while a corner is dragged outwards, and what belongs to fields has no key.
func TestTheDrawingOfARobotHoldsStill(t *testing.T) {
	h := atRobotBench(t, hexer)
	h.clickAt(-0.1, 0.06)
	before := h.bench.view
	x, y := h.at(0.2, 0.19)
	h.point(x, y)
	h.push()
	for i := range 5 {
		h.x = x + float64(i)*30
		h.do(hand{Down: true})
	}
	if h.bench.view != before {
		t.Errorf("the view went from %v to %v", before, h.bench.view)
	}
	h.letGo()
	h.key(ebiten.KeyZ)
	if h.bench.adding != nil || h.card != nil {
		t.Error("Z adds a zone to a robot")
	}
}
