package wording_test

import (
	"testing"

	"chalkfield/internal/base/wording"
)

func TestNearest(t *testing.T) {
	known := []string{"restitution", "friction", "mass", "room", "m"}
	for word, want := range map[string]string{
		"friktion": "friction", "mas": "mass", "romo": "room", "Room": "room", "restitusion": "restitution", "colour": "",
		"": "", "x": "", "M": "m",
	} {
		if got := wording.Nearest(word, known); got != want {
			t.Errorf("Nearest(%q) = %q, want %q", word, got, want)
		}
	}
}
