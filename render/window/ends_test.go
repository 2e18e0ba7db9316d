package window

import (
	"bytes"
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/render/scene"
	"chalkfield/render/window/viewmodel"
)

// Which end of the robot does what is told where one points at it, on its page and in the list of what parts can be
// told, and drawn where it is pointed at or seen large.
func TestWhichEndDoesWhatIsTold(t *testing.T) {
	h := atFile(t, Ahead("300"))
	robot := viewmodel.Thing{Kind: viewmodel.RobotThing}
	facts, _ := h.model.Facts(robot, 0, h.field.aim.at)
	want := viewmodel.Fact{Name: "parts", Value: "front: intake in; back: clamp, scorer out, claw"}
	if i := slices.Index(facts, want); i < 0 || i >= factMost {
		t.Errorf("pointing at it tells %+v", facts)
	}
	page := h.notebook.robotPage()
	last := page[len(page)-1]
	if last.Title != "At which end" || len(last.Table.Rows) != 5 ||
		last.Table.Rows[0].Cells[1].Words != "takes pieces in at the front" {
		t.Errorf("the page ends with %+v", last)
	}
	for _, call := range h.model.PartCalls() {
		if call.Form == "conveyor:run(10)" && inShort(call.Does) != "runs the belt with 10 V and carries pieces to the back" {
			t.Errorf("%s %q", call.Form, inShort(call.Does))
		}
	}
	named := func() (words []string) {
		for _, layer := range scene.Build(h.field.input(h.model.Now)).Layers {
			for _, l := range layer.Labels {
				if l.Rank == scene.RankPart {
					words = append(words, l.Words)
				}
			}
		}
		return words
	}
	if words := named(); words != nil {
		t.Errorf("seen small it names %q", words)
	}
	for range 8 {
		h.key(ebiten.KeyEqual)
	}
	if words := named(); !slices.Equal(words, []string{"intake, in", "clamp", "scorer, out", "claw"}) {
		t.Errorf("seen large it names %q", words)
	}
}

// What a thing brings points by is told where one points at it, and every rule on the page of the score.
func TestWhatAThingBringsPointsByIsTold(t *testing.T) {
	h := atFile(t, Ahead("300"))
	for thing, words := range map[viewmodel.Thing]string{
		{Kind: viewmodel.PieceThing, Index: 5}:                                  "core in sled 2, core on rack 5",
		{Kind: viewmodel.GoalThing, Index: len(h.model.Now.Setup.Field.Pieces)}: "core in sled 2, sled in camp x2",
	} {
		facts, _ := h.model.Facts(thing, 0, h.field.aim.at)
		if i := slices.Index(facts, viewmodel.Fact{Name: "scores", Value: words}); i < 0 || i >= factMost {
			t.Errorf("%v: %+v, want %q", thing, facts, words)
		}
	}
	rules := h.notebook.scorePage()[2]
	if rules.Title != "What scores" || len(rules.Table.Rows) != len(h.model.Now.Setup.Field.Rules) ||
		rules.Table.Rows[1].Cells[1].Words != "core in rack, 5 points each, to the side of the goal" {
		t.Errorf("the page has %+v", rules)
	}
}

// A picture that is written has the run laid beside, as the window shows it.
func TestAPictureHasTheRunBeside(t *testing.T) {
	picture := func(h *hands) []byte {
		var out bytes.Buffer
		if err := h.others.drawPicture(h.model.Now)(context.Background(), &out, nil); err != nil {
			t.Fatal(err)
		}
		return out.Bytes()
	}
	h := besideFile(t, waits, departs)
	h.model.Seek(2.5)
	with := picture(h)
	h.model.Paler()
	if bytes.Equal(with, picture(h)) {
		t.Error("with the run beside the picture is the same as without")
	}
}

// The page goes on following the run after a handle was dragged.
func TestThePageFollowsAfterAHandleIsDragged(t *testing.T) {
	mine := strings.Replace(turnable, "wait(0.12)", "bot.drive:visit(1500, 1300)", 1)
	h := atFile(t, mine)
	h.model.Seek(h.model.End)
	h.key(ebiten.KeyA)
	h.rest(t)
	h.onto("handle visit point 5.0")
	h.push()
	h.toPlace(1.81, 1.19, hand{Down: true})
	if h.notebook.routine.found != 5 || !h.notebook.routine.lightsFound() {
		t.Error("the line is not lit while it is dragged")
	}
	h.letGo()
	h.rest(t)
	if h.do(hand{}); !h.model.Follows || h.notebook.strays() {
		t.Error("the page does not follow the run any more")
	}
}

// What is typed or turned is put back by the mouse, and cards are closed by it.
func TestByMouseWhatIsInHandIsPutBackAndCardsAreClosed(t *testing.T) {
	h := atFile(t, turnable)
	h.key(ebiten.KeyI)
	h.key(ebiten.KeyArrowUp)
	if !h.inHand() {
		t.Fatal("no number is in hand")
	}
	h.point(middle(h.element(t, h.numbers.list[h.numbers.at].name).Rect))
	h.do(hand{Menu: true})
	h.press(h.row("row put back"))
	h.do(hand{})
	if h.wantFile("put back", turnable); h.inHand() {
		t.Error("it is still in hand")
	}
	h.key(ebiten.KeyF1)
	if h.press("close card"); h.card != nil {
		t.Error("the keys are still shown")
	}
}

// In the least window the tabs have their names, and help leaves a list its rows.
func TestInTheLeastWindowTabsHaveNamesAndListsRows(t *testing.T) {
	h := atFile(t, Ahead("300"))
	for _, tab := range viewmodel.Tabs {
		if e := h.element(t, "tab "+string(tab)); e.Label != capital(string(tab)) {
			t.Errorf("a tab is called %q", e.Label)
		}
	}
	for _, list := range []string{"times", "studies"} {
		h.press(list)
		if h.do(hand{}); h.beside.shown < 5 {
			t.Errorf("%s: %d rows are seen", list, h.beside.shown)
		}
		if !strings.Contains(h.element(t, "help").Tip, "Esc") {
			t.Errorf("%s: the tip has %q", list, h.element(t, "help").Tip)
		}
	}
}
