package robot_test

import (
	"testing"

	"chalkfield/sim/robot"
)

// What each mechanism does at which end, by the embedded robots' files.
func TestWhatEachMechanismDoesAtWhichEnd(t *testing.T) {
	for _, c := range []struct{ robot, part, words string }{
		{"barrow", "intake", "takes pieces in at the back"},
		{"barrow", "belt", "carries pieces to the front, to bot.tipper"},
		{"barrow", "tipper", "puts pieces into a fixed goal at the front"},
		{"hauler", "intake", "takes pieces in at the front"},
		{"hauler", "clamp", "takes a goal at the back"},
		{"hauler", "scorer", "puts pieces into a fixed goal at the back, or into the one that bot.clamp holds"},
		{"hauler", "claw", "takes a piece at the back"},
		{"hauler", "lift", ""},
		{"sifter", "gate", "throws pieces out at the left"},
	} {
		r, err := robot.Find(c.robot)
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, part := range r.Parts {
			if part.Name != c.part {
				continue
			}
			found = true
			if words := part.EndWords(r); words != c.words {
				t.Errorf("%s, %s: %q, want %q", c.robot, c.part, words, c.words)
			}
		}
		if !found {
			t.Errorf("the %s has no %s", c.robot, c.part)
		}
	}
}

// A heading is told as the nearest of eight sides, whatever turns it has made.
func TestTheSideThatAnEndFaces(t *testing.T) {
	for degrees, want := range map[float64]string{0: "front", 90: "left", 180: "back", -90: "right", -180: "back",
		270: "right", 44: "front left", 20: "front", 340: "front", -135: "back right", 360: "front"} {
		var e robot.End
		e.At.Heading = degrees * 3.141592653589793 / 180
		if got := e.Side(); got != want {
			t.Errorf("%g deg: %s, want %s", degrees, got, want)
		}
	}
}
