package window

import (
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"
)

// slowly drives as far as it scores nothing, and stands in between.
const slowly = `local function rest() wait(0.6) end
return routine {
  start = {x = 600, y = 1000, heading = 0},
  auto = function(bot)
    bot.drive:ahead(300, {speed = 200})
    rest()
  end,
}
`

// The list of times has the lines that took longest first, with what the robot stands of it, and goes to a line.
func TestTheLongestLinesAreListed(t *testing.T) {
	h := atFile(t, slowly)
	h.do(hand{Keys: []ebiten.Key{ebiten.KeyArrowDown}, Alt: true})
	h.until("the lines are known", func(*state) bool { return len(h.model.LineTimes()) == 3 })
	list := h.model.LineTimes()
	if list[0].Line != 5 || list[1].Took < 0.59 || list[1].Took > 0.61 || list[0].Still > 0.1 || list[1].Still < 0.5 ||
		list[2].Still < 0.5 || list[2].Still > list[2].Took+0.02 {
		t.Errorf("%+v", list)
	}
	h.draws(t, "the list of times")
	h.choose(h.front().list()[4].label, ebiten.KeyEnter)
	if h.model.Line() != list[1].Line || h.model.Time < 1 {
		t.Errorf("line %d is chosen at %g s", h.model.Line(), h.model.Time)
	}
}

// Numbers that bring the end sooner are found, taken by Enter, written, and the others looked for again.
func TestNumbersThatSaveTimeAreFoundAndTaken(t *testing.T) {
	h := atFile(t, slowly)
	before := h.model.EndWords()
	h.do(hand{Keys: []ebiten.Key{ebiten.KeyArrowDown}, Alt: true})
	h.choose("Try every number", ebiten.KeyEnter)
	h.until("all are tried", func(*state) bool { return h.model.Search().Ended })
	found := h.model.Search().Found
	if len(found) != 3 || found[0].Saves < 0.1 || found[1].Saves < 0.1 || found[2].Saves < 0.1 {
		t.Fatalf("%+v", found)
	}
	h.wantFile("looked for", slowly)
	wait := 0
	for i, one := range found {
		if one.Line == 1 {
			wait = i
		}
	}
	if found[wait].New != "0.1" || found[wait].Saves < 0.45 {
		t.Errorf("of the wait it is %+v", found[wait])
	}
	h.choose(h.row("row -")[len("row "):], ebiten.KeyEscape)
	h.do(hand{Keys: []ebiten.Key{ebiten.KeyArrowDown}, Alt: true})
	for _, row := range h.front().list() {
		if strings.Contains(row.label, "line 1:") {
			h.choose(row.label, ebiten.KeyEnter)
			break
		}
	}
	h.wantFile("taken", strings.Replace(slowly, "0.6", found[wait].New, 1))
	h.until("they are tried again", func(*state) bool {
		return strings.Contains(h.model.EndWords(), " (-0.") && h.model.Search().Ended
	})
	if words := h.model.EndWords(); words == before || !strings.Contains(words, " (-0.") {
		t.Errorf("it says %q", words)
	}
	h.ctrl(ebiten.KeyZ)
	h.wantFile("undone", slowly)
}
