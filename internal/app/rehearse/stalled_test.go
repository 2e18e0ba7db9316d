package rehearse

import (
	"testing"

	"chalkfield/internal/base/record"
)

// A routine learns from its intake that a piece in its mouth cannot enter, and that turning the rollers outwards frees
// them.
func TestARoutineSeesItsIntakeStall(t *testing.T) {
	rec := rehearsed(t, onField(t, "core_haul", "hauler", source(t, `return routine {
  start = {x = 600, y = 450, heading = 0}, auto = function(bot)
    bot.intake:run(11)
    bot.conveyor:hold()
    bot.drive:ahead(600, {speed = 150, background = true})
    await(function() return bot.intake:stalled() end, 5)
    note("stalled " .. tostring(bot.intake:stalled()) .. " with " .. bot.conveyor:count())
    bot.intake:run(-11)
    wait(0.2)
    note("stalled " .. tostring(bot.intake:stalled()))
  end}`)))
	var notes []string
	for _, e := range rec.Events {
		if e.Kind == record.Note {
			notes = append(notes, e.Text)
		}
	}
	if len(notes) != 2 || notes[0] != "stalled true with 2" || notes[1] != "stalled false" {
		t.Errorf("%q", notes)
	}
}
