package window

import (
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/app/build"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/tomlfile"
)

// slowly clicks what has a name as a person does: the button stays down for some Updates, and the pointer rests.
func (h *hands) slowly(name string) {
	h.t.Helper()
	h.point(middle(h.element(h.t, name).Rect))
	h.push()
	for range 6 {
		h.do(hand{Down: true})
	}
	h.letGo()
	for range 6 {
		h.do(hand{})
	}
}

// What is clicked in the list of what a value may be is written, and nothing else: every such list of a game, by a
// button that stays down as long as a person's does.
func TestAChoiceIsWhatWasClicked(t *testing.T) {
	h := atBench(t, "cask_quay")
	h.height = 2400 // all rows have room
	before, tried := h.fieldFile(), 0
	for _, g := range h.model.Board().Sheet().Groups {
		if len(g.Items) == 0 {
			continue
		}
		rows := func() []build.Row {
			h.model.Board().Choose(g.Items[0].Path)
			h.do(hand{})
			return h.model.Board().Rows()
		}
		for n, r := range rows() {
			choices := h.model.Board().Choices(r)
			if len(choices) < 2 {
				continue
			}
			want := choices[len(choices)-1]
			if r.Has(want) {
				want = choices[0]
			}
			switched := r.Takes == tomlfile.Names && r.Has(want) // it was in the list: now it is not
			h.slowly("row " + r.Label)
			if h.card == nil || h.card.name != "choices" {
				t.Fatalf("%s of %s: no list of choices", r.Label, g.Title)
			}
			h.slowly("row " + want)
			if h.card != nil {
				h.key(ebiten.KeyEscape)
			}
			if now := rows()[n]; now.Has(want) == switched {
				t.Errorf("%s of %s: clicked %q, it is %q; %s", r.Label, g.Title, want, now.Value, h.model.Notice.Text)
			}
			h.ctrl(ebiten.KeyZ)
			if h.fieldFile() != before {
				t.Fatalf("%s of %s: the choice is not one step of undo", r.Label, g.Title)
			}
			tried++
		}
	}
	if tried < 20 {
		t.Errorf("only %d lists of choices", tried)
	}
}

// Several names are put into a list and taken out again, by the mouse and by letters.
func TestNamesAreSwitchedOnAndOff(t *testing.T) {
	h := atBench(t, "kiln_yard")
	h.height = 2400
	h.model.Board().Choose("goal_kinds[0]")
	h.do(hand{})
	h.says("before", `takes = ["brick", "glaze"]`)
	h.slowly("row takes")
	h.slowly("row brick")
	h.says("taken out", `takes = ["glaze"]`)
	h.types("bri")
	h.key(ebiten.KeyEnter)
	h.says("put in behind", `takes = ["glaze", "brick"]`)
}

// A drag that changes nothing writes nothing, and says nothing of having moved; the corner of an outline that cannot be
// moved as a whole is taken though another thing is chosen.
func TestADragIsOfWhatIsUnderIt(t *testing.T) {
	h := atRobotBench(t, hexer)
	file := func() string { return h.model.Board().Text() }
	before, corner := file(), h.bench.view.Pixel
	h.model.Board().Choose("wheels[0]")
	h.do(hand{})
	edge := corner(h.model.Board().Sheet().Robot.Chassis.Shape()[0])
	h.drag(edge.X, edge.Y, edge.X-40, edge.Y+20)
	if h.model.Board().Chosen() != "chassis" || file() == before {
		t.Errorf("%s is chosen; %s", h.model.Board().Chosen(), h.model.Notice.Text)
	}
	h.ctrl(ebiten.KeyZ)
	h.model.Say("")
	middle := corner(geom.Vec{X: 0.1})
	h.drag(middle.X, middle.Y, middle.X+40, middle.Y+20)
	if file() != before || h.model.Notice.Text != "" {
		t.Errorf("the middle of the chassis was dragged, and it says %q", h.model.Notice.Text)
	}
}
