package viewmodel

import "testing"

// An option is put behind what the call has, in its table where there is one; what has it already gets none.
func TestAnOptionIsPutIntoTheCall(t *testing.T) {
	for _, c := range []struct{ call, want string }{
		{"bot.drive:visit(1562, 560)", "bot.drive:visit(1562, 560, {accel = 6000})"},
		{"bot.drive:visit({15, 56}) -- there", "bot.drive:visit({15, 56}, {accel = 6000}) -- there"},
		{"bot.drive:ahead(-60, {speed = 400 --[[slow]] })", "bot.drive:ahead(-60, {speed = 400, accel = 6000 --[[slow]] })"},
		{"bot.drive:trace({{1, 2}, {3, 4}})", "bot.drive:trace({{1, 2}, {3, 4}}, {accel = 6000})"},
		{"bot.drive:ahead(60, {accel = 400})", ""},
		{"bot.lift:to('rack')", ""},
		{"bot.drive:ahead(\n60)", ""},
	} {
		got := ""
		for _, o := range optionsOf(c.call, func(int) bool { return true }) {
			if o.Option != "accel" {
				continue
			}
			one, text, _ := o.with(6000)
			if got = text; one.Words() != "line 1: accel = 6000 added" {
				t.Errorf("%s: it says %q", c.call, one.Words())
			}
			if from, err := one.from(c.call); err != nil || c.call[from:from+len(one.Old)] != one.Old {
				t.Errorf("%s: found again at %d, %v", c.call, from, err)
			}
			if _, err := one.from(text); err == nil {
				t.Errorf("%s: it is found where it was written", c.call)
			}
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.call, got, c.want)
		}
	}
}
