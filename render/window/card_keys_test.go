package window

import "testing"

// Rows may have become fewer since the cursor was set; found by random hands after 129 seeds.
func TestTheCursorStaysInAListThatHasShrunk(t *testing.T) {
	rows := []cardRow{{label: "a", do: func() {}}, {label: "b"}}
	for _, by := range []int{1, -1} {
		c := &card{cursor: 7, shown: 4}
		if c.step(by, rows); c.cursor != 0 && c.cursor != 1 {
			t.Errorf("by %d: row %d of two", by, c.cursor)
		}
	}
}
