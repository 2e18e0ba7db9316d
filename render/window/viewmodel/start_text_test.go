package viewmodel

import (
	"math"
	"strings"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
)

func TestRewriteStartChangesOnlyTheStart(t *testing.T) {
	at := geom.Pose{X: 0.6, Y: 0.45, Heading: 1.5707963}
	const want = "{x = 600, y = 450, heading = 90}"
	for name, c := range map[string]struct{ text, want string }{
		"plain": {"return routine {start = {x = 1, y = 2, heading = 3}, auto = f}", "return routine {start = " +
			want + ", auto = f}"},
		"expressions":       {"start={x=2*tile, y=tile/2}", "start=" + want},
		"nested braces":     {"start = {x = ({1})[1], y = 2} -- {", "start = " + want + " -- {"},
		"brace in a string": {"start = {note = '}', x = 1}", "start = " + want},
		"comment before":    {"-- start = {x = 9}\nstart = {x = 1}", "-- start = {x = 9}\nstart = " + want},
		"long comment": {"--[==[ start = {x = 9} ]] ]==]\nstart = {x = 1}",
			"--[==[ start = {x = 9} ]] ]==]\nstart = " + want},
		"long string": {"a = [[start = {]]\nstart\n=\n{x = 1}", "a = [[start = {]]\nstart\n=\n" + want},
		"other names": {"restart = {1}; start_at = {2}; start = {x = 1}", "restart = {1}; start_at = {2}; start = " +
			want},
		"comparison":    {"if start == {} then end; start = {}", "if start == {} then end; start = " + want},
		"windows lines": {"\r\nstart = {\r\n x = 1\r\n}\r\n", "\r\nstart = " + want + "\r\n"},
	} {
		t.Run(name, func(t *testing.T) {
			got, _, err := RewriteStart(c.text, at)
			if err != nil || got != c.want {
				t.Errorf("got %q, %v\nwant %q", got, err, c.want)
			}
		})
	}
}

func TestRewriteStartRefusesWhatItCannotBeSureOf(t *testing.T) {
	for _, text := range []string{"", "start = here", "start = {x = 1", "start = {x=1}\nstart = {x=2}",
		"start = make{x=1}"} {
		if got, _, err := RewriteStart(text, geom.Pose{}); err == nil {
			t.Errorf("%q became %q", text, got)
		}
	}
}

func FuzzRewriteStart(f *testing.F) {
	f.Add("return routine {start = {x = 1}, auto = function() end}")
	f.Add("--[=[")
	f.Add("start = {'\\")
	f.Fuzz(func(t *testing.T, text string) {
		property.Bounded(t, func() {
			changed, old, err := RewriteStart(text, geom.Pose{X: 1})
			if err != nil {
				return
			}
			if back := strings.Replace(changed, LuaPose(geom.Pose{X: 1}), old, 1); len(back) != len(text) {
				t.Errorf("%q became %q", text, changed)
			}
		})
	})
}

func TestHalfATurnIsWrittenOneWay(t *testing.T) {
	for _, c := range []struct {
		heading float64
		want    string
	}{
		{math.Pi, "180"}, {-math.Pi, "180"}, {math.Pi + 1e-12, "180"}, {-math.Pi + 1e-4, "180"},
		{-math.Pi + 0.002, "-179.9"}, {3 * math.Pi, "180"}, {-0.0001, "0"}, {math.Pi / 2, "90"},
	} {
		if got := LuaPose(snapped(geom.Pose{Heading: c.heading})); got != "{x = 0, y = 0, heading = "+c.want+"}" {
			t.Errorf("%g rad: %s, want %s", c.heading, got, c.want)
		}
	}
}
