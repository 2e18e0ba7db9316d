package units

import "testing"

func TestCountedKeepsNumberAndNounInStep(t *testing.T) {
	for _, c := range []struct {
		n    int
		noun string
		want string
	}{{0, "rehearsal", "0 rehearsals"}, {1, "rehearsal", "1 rehearsal"}, {2, "pair", "2 pairs"},
		{-1, "point", "-1 points"}} {
		if got := Counted(c.n, c.noun); got != c.want {
			t.Errorf("%d %s: %q, want %q", c.n, c.noun, got, c.want)
		}
	}
}
