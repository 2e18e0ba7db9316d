package window

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/hajimehoshi/ebiten/v2"

	"chalkfield/internal/base/record"
	"chalkfield/render/window/viewmodel"
	"chalkfield/scripting"
)

// withDriver is a routine file whose driver function is this.
func withDriver(driver string) string {
	return strings.TrimSuffix(Ahead("300"), "}\n") + driver + "}\n"
}

// litAny reports whether a line is lit: a task that runs in another file has line 0.
func litAny(st *state) bool {
	return slices.ContainsFunc(st.Lit, func(line int) bool { return line > 0 })
}

// A save during a drive waits until the drive has been looked at, and D leads back to it.
func TestADriveIsKeptWhenTheFileIsSaved(t *testing.T) {
	h := atFile(t, Ahead("300"))
	h.key(ebiten.KeyD, ebiten.KeyEnter)
	if st := h.state(); !st.Driving || st.Begun || st.Time != 0 || litAny(st) {
		t.Fatalf("it does not wait for the first move, or lines %v are lit though plain wheels run: %+v", st.Lit, st.State)
	}
	h.held = []ebiten.Key{ebiten.KeyW}
	h.until("the clock runs", func(st *state) bool { return st.Begun && st.Time > 0.3 && !litAny(st) })
	h.write("mine.lua", Ahead("600"))
	h.until("the drive goes on, and knows of the save", func(st *state) bool {
		return st.Driving && st.Time > 0.8 && h.model.Saved
	})
	h.held = nil
	h.key(ebiten.KeyEscape)
	st := h.state()
	if st.Card != "driven" || !strings.Contains(st.Notice, "saved meanwhile") {
		t.Errorf("card %q, notice %q", st.Card, st.Notice)
	}
	end := st.End
	h.key(ebiten.KeyEnter)
	h.until("the drive is played, not the routine", func(st *state) bool {
		return st.Card == "" && st.Runs == 2 &&
			st.End == end && st.Title != "test"
	})
	h.key(ebiten.KeyR)
	h.until("the saved routine is rehearsed and compared with the one before", func(st *state) bool {
		return st.Runs == 3 && st.Title == "test" && strings.Contains(st.Notice, "later")
	})

	// A drive that is given up before it began leaves the rehearsal.
	h.key(ebiten.KeyD, ebiten.KeyEnter)
	h.until("it waits", func(st *state) bool { return st.Driving && !st.Begun })
	h.key(ebiten.KeyEscape)
	h.until("the rehearsal is back", func(st *state) bool {
		return !st.Driving && st.Card == "" && st.Runs == 3 && st.Title == "test" && st.End > end
	})
	h.key(ebiten.KeyD)
	h.press(h.row("row The last drive"))
	h.until("the last drive is offered again", func(st *state) bool { return st.Card == "driven" })
	h.press("row Keep it as a record")
	h.until("the record is there", func(st *state) bool { return strings.HasSuffix(st.Notice, "record_1.jsonl") })
	if text := readOf(t, "record_1.jsonl"); !strings.Contains(text, "driven by hand") {
		t.Error("the record is not that of the drive")
	}
}

func TestTheMacroOfTheFirstPressRuns(t *testing.T) {
	h := atFile(t, withDriver("driver = function(bot, pad) pad:bind(\"a\", function() note(\"macro\") end) "+
		"wait(9) end,\n"))
	h.key(ebiten.KeyD, ebiten.KeyEnter)
	if st := h.state(); !st.Driving || st.Begun || !strings.Contains(st.Notice, "J K U I are the buttons a b x y") {
		t.Errorf("driving %v, begun %v, the hint says %q", st.Driving, st.Begun, st.Notice)
	}
	h.key(ebiten.KeyJ)
	h.until("the macro ran", func(st *state) bool {
		for _, e := range st.Events {
			if e.Kind == "note" {
				return true
			}
		}
		return false
	})
}

// A routine's error in a drive stands at the bottom and at its line while the drive goes on, and in the drive's card.
func TestARoutinesErrorIsToldDuringADrive(t *testing.T) {
	h := atFile(t, withDriver("  driver = function(bot, pad)\n    pad:bind(\"b\", function() error(\"boom\") end)\n"+
		"    while true do bot.drive:arcade(pad.left_y, pad.right_x) wait() end\n  end,\n"))
	h.key(ebiten.KeyD, ebiten.KeyEnter)
	h.held = []ebiten.Key{ebiten.KeyW}
	h.until("the clock runs", func(st *state) bool { return st.Begun && st.Time > 0.2 })
	h.held = nil
	h.key(ebiten.KeyK)
	st := h.until("the error is told", func(st *state) bool {
		return st.Driving && st.Bad &&
			strings.Contains(st.Notice, "mine.lua:10: boom")
	})
	if st.Line != 10 {
		t.Errorf("line %d, fault %q", st.Line, st.Fault)
	}
	h.key(ebiten.KeyF1)
	st = h.state()
	for range 20 {
		h.do(hand{})
	}
	if later := h.state(); st.Card != "keys" || later.Time != st.Time || !later.Driving {
		t.Errorf("behind the card %q the clock went from %g to %g s", st.Card, st.Time, later.Time)
	}
	h.key(ebiten.KeyEscape, ebiten.KeyDigit2)
	if st = h.state(); st.Tab != "robot" || !st.Driving || st.Card != "" {
		t.Errorf("page %s, driving %v, card %q", st.Tab, st.Driving, st.Card)
	}
	h.press("measure")
	if st = h.state(); st.Card != "driven" || st.Mode != "measure" {
		t.Errorf("it does not ask what to do with the drive: card %q, mode %s", st.Card, st.Mode)
	}
	h.press("row Look at it")
	if st = h.state(); st.Card != "" || st.Line != 10 || !st.Bad || st.Driving {
		t.Errorf("the fault does not stand at its line: %+v", st.State)
	}
}

// A routine without a driver function drives its autonomous itself in a match; the keys have the wheels from the driver
// phase on, whatever it calls its own functions.
func TestAMatchOfARoutineWithoutADriverBeginsWithItsOwnAutonomous(t *testing.T) {
	h := atFile(t, "local sleep = wait\nfunction wait(s) assert(s == 0.2, \"not mine\") sleep(s) end\n"+Ahead("300"))
	h.driver.begin("match")
	if st := h.state(); !st.Driving || !strings.Contains(st.Notice, "First the routine drives by itself") {
		t.Fatalf("driving %v, notice %q", st.Driving, st.Notice)
	}
	h.key(ebiten.KeyEnter)
	h.drivenTo(0.5)
	lit := litAny(h.state())
	driver := h.model.Now.Record.Header.Phases[1].Start
	before := h.drivenTo(driver)
	if want := 0.9; math.Abs(before-want) > 0.02 || !lit {
		t.Errorf("its auto drove to x = %g m, not %g m; a line was lit: %v", before, want, lit)
	}
	if after := h.drivenTo(driver + 2); !(after > before+0.1) {
		t.Errorf("the keys drove from x = %g m to %g m", before, after)
	}
	for _, e := range h.model.Now.Record.Events {
		if e.Kind == record.Failure || strings.Contains(e.Text, "the robot stands") {
			t.Errorf("at %g s: %s", e.T, e.Text)
		}
	}
}

// drivenTo is how far along x the robot is when it has been driven, with the left stick ahead, to a time.
func (h *hands) drivenTo(end float64) float64 {
	for h.model.Driving() && h.model.Time < end {
		h.model.AdvanceDrive(frameSeconds, scripting.PadState{LeftY: 0.3})
	}
	pose, _ := h.model.RobotPose()
	return pose.X
}

// A drive's macros are calls in its draft, which opens and is rehearsed at once; the drive is still offered.
func TestTheDraftOfADriveOpens(t *testing.T) {
	h := atFile(t, withDriver("driver = function(bot, pad) pad:bind(\"a\", function(bot) note(\"macro\") end) "+
		"while true do bot.drive:arcade(pad.left_y, pad.right_x) wait() end end,\n"))
	h.key(ebiten.KeyD)
	h.press("row solo run")
	h.held = []ebiten.Key{ebiten.KeyW}
	h.until("it drives", func(st *state) bool { return st.Time > 0.5 })
	h.key(ebiten.KeyJ)
	h.until("the macro ran", func(st *state) bool {
		return slices.ContainsFunc(st.Events, func(e viewmodel.Moment) bool { return e.Kind == "note" })
	})
	h.held = nil
	h.key(ebiten.KeyEscape)
	h.press("row Make a draft routine of it")
	st := h.until("the draft is rehearsed", func(st *state) bool { return st.Title == "draft from a drive" && !st.Busy })
	if !strings.HasSuffix(st.Routine, "draft_1.lua") || !strings.Contains(st.Notice, "the draft of the drive") ||
		h.model.Now.Record.Header.Session != "autonomous" {
		t.Errorf("%s in %s: %s", st.Routine, h.model.Now.Record.Header.Session, st.Notice)
	}
	if text := readOf(t, "draft_1.lua"); !strings.Contains(text, "macro_a(bot) end) -- button a") {
		t.Error(text)
	}
	noted := func(st *state) bool {
		return slices.ContainsFunc(st.Events, func(e viewmodel.Moment) bool { return e.Kind == "note" })
	}
	if !noted(st) {
		t.Error("the draft's rehearsal does not run the macro")
	}
	h.key(ebiten.KeyD)
	h.row("row The last drive")
}
