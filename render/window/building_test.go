package window

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/render/window/viewmodel"
)

// atBench begins to build a field in a folder of the test's own.
func atBench(t *testing.T, name string) *hands {
	t.Helper()
	t.Chdir(t.TempDir())
	t.Setenv("DISPLAY", "")
	text, err := fields.EmbeddedSource(name)
	if err != nil {
		t.Fatal(err)
	}
	h := &hands{t: t}
	h.write("field.toml", string(text))
	h.write("mine.lua", "return routine { start = {x = 600, y = 450, heading = 90}, auto = function(bot) wait(1) end }")
	h.game = newGame(context.Background(), Options{Build: "field.toml", Files: viewmodel.Files{Routine: "mine.lua"},
		Load: loadFile, Out: io.Discard, Err: io.Discard}, viewmodel.Settings{Zoom: 1}, "")
	t.Cleanup(h.game.close)
	h.density, h.width, h.height = 1, 1280, 800
	h.dump.path = filepath.Join(t.TempDir(), "state.json")
	h.do(hand{})
	if h.model.Board() == nil {
		t.Fatal(h.model.Notice.Text)
	}
	return h
}

func (h *hands) fieldFile() string {
	h.t.Helper()
	data, err := os.ReadFile("field.toml")
	if err != nil {
		h.t.Fatal(err)
	}
	return string(data)
}

// at is a place of the field that is built, m, on the screen.
func (h *hands) at(x, y float64) (float64, float64) {
	v := h.bench.view.Pixel(geom.Vec{X: x, Y: y})
	return v.X, v.Y
}

func (h *hands) dragField(x0, y0, x1, y1 float64) {
	a, b := h.at(x0, y0)
	c, d := h.at(x1, y1)
	h.drag(a, b, c, d)
}

// says fails unless the file has a text.
func (h *hands) says(what, want string) {
	h.t.Helper()
	if !strings.Contains(h.fieldFile(), want) {
		at := strings.Index(h.fieldFile(), "zone 1")
		h.t.Errorf("%s: the file has no %s; notice %q\n%s", what, want, h.model.Notice.Text, h.fieldFile()[max(at, 0):])
	}
}

func TestAFieldIsBuiltByHand(t *testing.T) {
	h := atBench(t, "core_haul")
	before := h.fieldFile()
	h.dragField(2.1, 1.5, 2.4, 1.75) // the middle sled, onto a line of tiles in x
	h.says("the sled is dragged", `at = ["2.4 m", "1.75 m"]`)
	h.ctrl(ebiten.KeyZ)
	if h.fieldFile() != before {
		t.Error("the drag is not undone")
	}
	h.ctrl(ebiten.KeyY)
	h.says("done again", `at = ["2.4 m", "1.75 m"]`)
	h.ctrl(ebiten.KeyZ)
	h.key(ebiten.KeyZ)
	h.dragField(1.2, 0.6, 1.5, 0.9)
	h.says("a zone is drawn", `box = [["1.2 m", "600 mm"], ["1.5 m", "900 mm"]]`+"\ncopy = true")
	h.dragField(1.35, 0.75, 1.65, 0.75) // dragged as a whole
	h.says("the zone is moved", `box = [["1.5 m", "600 mm"], ["1.8 m", "900 mm"]]`)
	h.dragField(1.8, 0.9, 1.8, 1.2) // by its corner
	h.says("the zone is larger", `box = [["1.5 m", "600 mm"], ["1.8 m", "1200 mm"]]`)
	h.dragField(2.55, 2.1, 2.55, 2.4) // its copy goes up, and so it goes down
	h.says("the zone's copy is dragged", `box = [["1.5 m", "300 mm"], ["1.8 m", "900 mm"]]`)
	h.key(ebiten.KeyDelete)
	if strings.Contains(h.fieldFile(), "ochre zone 1") {
		t.Error("the zone is not taken away")
	}
	h.key(ebiten.KeyP)
	h.point(h.at(0.9, 1.9))
	h.push()
	h.letGo()
	h.says("a piece is put", `copy = true`)
	h.key(ebiten.KeyS)
	h.point(h.at(0.6, 0.6))
	h.push()
	h.letGo()
	h.says("a start is put", "[[starts]]\nside = \"ochre\"\nat = [\"600 mm\", \"600 mm\"]\ncopy = true")
	h.dragField(0.6+0.17, 0.6, 0.6, 0.8)
	h.says("the start is turned", `heading = "90 deg"`+"\n")
	h.draws(t, "a start chosen")
}

func TestValuesAreTyped(t *testing.T) {
	h := atBench(t, "core_haul")
	h.point(h.at(2.1, 1.5))
	h.push()
	h.letGo()
	if chosen := h.model.Board().Chosen(); chosen != "goals[0]" {
		t.Fatalf("%q is chosen", chosen)
	}
	h.key(ebiten.KeyEnter, ebiten.KeyArrowDown, ebiten.KeyArrowDown)
	for _, r := range "2200, 1.5 m" {
		h.do(hand{Runes: []rune{r}})
	}
	h.draws(t, "typing")
	h.key(ebiten.KeyEnter)
	h.says("typed", `at = ["2200 mm", "1.5 m"]`)
	h.key(ebiten.KeyArrowDown, ebiten.KeyArrowRight)
	h.do(hand{})
	h.says("turned", `heading = "1 deg"`)
	h.key(ebiten.KeyEscape)
	h.key(ebiten.KeyArrowLeft)
	h.says("nudged from the field", `at = ["2190 mm", "1.5 m"]`)
	h.draws(t, "after typing")
}

// What cannot be is marked where it is, in words, and what is doubtful too.
func TestProblemsAreMarked(t *testing.T) {
	h := atBench(t, "core_haul")
	h.dragField(2.1, 1.5, 0.6, 1.45) // a sled into another
	if !h.model.Notice.Bad || !strings.Contains(h.model.Notice.Text, "overlaps") {
		t.Errorf("said: %q", h.model.Notice.Text)
	}
	e := h.element(t, "problem 1")
	if !strings.Contains(e.Tip, "overlaps") {
		t.Errorf("its mark tells %q", e.Tip)
	}
	h.draws(t, "with a problem")
	h.ctrl(ebiten.KeyZ)
	h.key(ebiten.KeyS)
	h.point(h.at(0.05, 2))
	h.push()
	h.letGo()
	if e := h.element(t, "problem 1"); !strings.Contains(e.Tip, "doubtful: the middle of a robot that starts here") {
		t.Errorf("its mark tells %q", e.Tip)
	}
}

// Somebody else's save is taken, and the mode ends with the field rehearsed.
func TestBuildingMeetsTheRest(t *testing.T) {
	h := atBench(t, "core_haul")
	h.write("field.toml", strings.Replace(h.fieldFile(), "Core Haul", "Mine", 1))
	h.until("the change is taken", func(*state) bool { return strings.Contains(h.model.Board().Text(), "Mine") })
	h.key(ebiten.KeyN)
	if h.card == nil || h.card.name != "add" {
		t.Fatal("no list of what can be added")
	}
	h.draws(t, "the list of what can be added")
	h.key(ebiten.KeyEscape, ebiten.KeyEscape)
	if h.model.Board() == nil {
		t.Fatal("one Esc too many ends building")
	}
	h.key(ebiten.KeyEscape)
	if h.model.Board() != nil {
		t.Fatal("Esc twice does not end building")
	}
	h.until("a rehearsal", func(s *state) bool { return s.Runs > 0 })
	h.do(hand{Keys: []ebiten.Key{ebiten.KeyB}, Ctrl: true, Shift: true})
	h.do(hand{})
	if h.model.Board() == nil {
		t.Fatalf("not built again: %q", h.model.Notice.Text)
	}
	h.ctrl(ebiten.KeyZ) // the change from outside, before building ended
	h.says("undone after coming back", `title = "Core Haul"`)
}

// At every size, with every field and each of its tables chosen, nothing is cut and nothing leaves the window.
func TestTheBenchAtAllSizes(t *testing.T) {
	h := atBench(t, "kiln_yard")
	for _, size := range atSizes[:3] {
		h.width, h.height = points(size)
		for _, g := range h.model.Board().Sheet().Groups {
			if len(g.Items) > 0 {
				h.model.Board().Choose(g.Items[0].Path)
				h.draws(t, g.Title)
			}
		}
	}
}

// What waits for its place is given up when there is no such thing any more, and is told of beside the field.
func TestAToolGoesWithItsKind(t *testing.T) {
	h := atBench(t, "kiln_yard")
	h.key(ebiten.KeyG)
	if h.card != nil {
		h.key(ebiten.KeyEnter)
	}
	if h.bench.adding == nil {
		t.Fatal("nothing waits for its place")
	}
	h.draws(t, "a tool that waits")
	kind := strings.TrimPrefix(h.bench.adding.Name, "goal: ")
	h.write("field.toml", strings.ReplaceAll(h.fieldFile(), `"`+kind+`"`, `"stove"`))
	h.until("the change is taken", func(*state) bool { return strings.Contains(h.model.Board().Text(), "stove") })
	h.do(hand{})
	if h.bench.adding != nil {
		t.Errorf("%s still waits for its place", h.bench.adding.Name)
	}
}

// Letters go where one would look: the name of what was added without a place, the value that is wrong, and to the
// field when the pointer is on it.
func TestWhereLettersGo(t *testing.T) {
	h := atBench(t, "core_haul")
	write := func(text string) {
		for _, r := range text {
			h.do(hand{Runes: []rune{r}})
		}
		h.key(ebiten.KeyEnter)
	}
	h.key(ebiten.KeyN)
	h.types("rule")
	h.key(ebiten.KeyEnter)
	write("bonus")
	h.says("a rule is added and named", `name = "bonus"`)
	h.point(h.at(2, 2))
	h.key(ebiten.KeyP)
	if h.bench.adding == nil {
		t.Errorf("P on the field does nothing: %q", h.model.Notice.Text)
	}
	h.key(ebiten.KeyEscape)
	h.model.Board().Choose("sides[0]")
	h.do(hand{})
	h.slowly("row colour")
	write("blue")
	h.model.Board().Choose("zones[0]")
	h.do(hand{})
	h.slowly(h.row(`row "blue" is no colour`))
	write("#101010")
	h.says("what is wrong is put right where it is told", `colour = "#101010"`)
}

// The row under the pointer in the list of things stays there while problems come and go.
func TestThingsStayUnderThePointer(t *testing.T) {
	h := atBench(t, "core_haul")
	h.point(middle(h.element(t, "row teal").Rect))
	before := h.element(t, "row teal").Rect
	h.write("field.toml", strings.Replace(h.fieldFile(), `kind = "sled"`, `kind = "slet"`, 1))
	h.until("a problem", func(*state) bool { return len(h.model.Board().Sheet().Problems) > 0 })
	h.do(hand{})
	if now := h.element(t, "row teal").Rect; now != before {
		t.Errorf("the row is at %v, was at %v", now, before)
	}
}

// A place is given by keys alone: arrows move a cross, Enter takes it; what was chosen before stays where it is.
func TestAPlaceIsGivenByKeys(t *testing.T) {
	h := atBench(t, "core_haul")
	h.point(h.at(2.1, 1.5))
	h.push()
	h.letGo()
	h.point(2, 2) // off the field
	h.key(ebiten.KeyS, ebiten.KeyRight, ebiten.KeyUp, ebiten.KeyEnter)
	h.says("a start in the middle", "at = [\"2.11 m\", \"1.51 m\"]")
	h.says("the sled stays", `at = ["2.1 m", "1.5 m"]`)
	h.key(ebiten.KeyZ, ebiten.KeyRight, ebiten.KeyEnter)
	h.shift(ebiten.KeyRight, ebiten.KeyUp)
	h.draws(t, "a zone drawn by keys")
	h.key(ebiten.KeyEnter)
	h.says("a zone from its corners", `box = [["2.12 m", "1.51 m"], ["2.22 m", "1.61 m"]]`)
}
