package viewmodel

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"chalkfield/assets"
	"chalkfield/sim/robot"
)

func hauler(t *testing.T) *robot.Robot {
	t.Helper()
	r, err := robot.Find("hauler")
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// All calls that the guide lists are in the reference with a line of help, but those that a line seldom has.
func TestTheReferenceHasAllCallsOfTheGuide(t *testing.T) {
	page, err := assets.GuidePage("routine")
	if err != nil {
		t.Fatal(err)
	}
	reference := Reference(hauler(t))
	_, all, found := strings.Cut(page, "## All calls")
	names := regexp.MustCompile("`([a-z_]+)`").FindAllStringSubmatch(all, -1)
	if !found || len(names) < 45 {
		t.Fatal(len(names))
	}
	for _, name := range names {
		if slices.Contains([]string{"routine", "require", "print"}, name[1]) {
			continue
		}
		if !slices.ContainsFunc(reference, func(k Known) bool { return k.Name == name[1] && k.Does != "" && k.Form != "" }) {
			t.Errorf("%s is not in the reference", name[1])
		}
	}
	for _, k := range reference {
		if strings.ContainsAny(k.Does, "`|") || k.Name == "" {
			t.Errorf("%+v", k)
		}
	}
}

// A caret is where | stands.
func TestCompletionsAreOfWhatStandsBefore(t *testing.T) {
	reference := Reference(hauler(t))
	for _, c := range []struct{ line, want, then string }{
		{"  me.drive:a|", "ahead arcade", "  me.drive:ahead(|"}, {"me.dri|", "drive", "me.drive:|"},
		{"me.sense.ch|", "chute", "me.sense.chute:|"}, {"me.sense.chute:|", "sees kind side", "me.sense.chute:sees()|"},
		{"wai|", "wait", "wait(|"}, {"wai|(0.2)", "wait", "wait|(0.2)"}, {"m|", "me", "me.|"}, {"wait|", "", ""},
		{"me.drive:ahead(300, {sp|})", "speed", "me.drive:ahead(300, {speed = |})"},
		{"local h = run:jo|", "join", "local h = run:join()|"},
		{"-- wai|", "", ""}, {`note("wai|`, "", ""}, {"12|", "", ""}, {"|", "", ""},
		{"me.intake:st|", "stop stalled", "me.intake:stop()|"},
		{"if pad:pre|", "pressed", "if pad:pressed(|"}, {"xyz|", "", ""}, {"x..wai|", "wait", "x..wait(|"},
	} {
		caret := strings.IndexByte(c.line, '|')
		line := strings.Replace(c.line, "|", "", 1)
		list, from := Completions(reference, line, caret, "me")
		var names []string
		for _, k := range list {
			names = append(names, k.Name)
		}
		if got := strings.Join(names, " "); got != c.want {
			t.Errorf("%s: %q, want %q", c.line, got, c.want)
			continue
		}
		if len(list) > 0 {
			text, at := list[0].Taken(line, from, caret)
			if got := text[:at] + "|" + text[at:]; got != c.then {
				t.Errorf("%s: taken it is %q, want %q", c.line, got, c.then)
			}
		}
	}
}

func TestTheCallAroundACaretIsTold(t *testing.T) {
	reference := Reference(hauler(t))
	for _, c := range []struct{ line, want string }{
		{"me.drive:ahead(300, {speed = |", "bot.drive:ahead(mm, options)"}, {"wait(|", "wait(seconds)"}, {"wait(1)|", ""},
		{"wait(f(1), |", "wait(seconds)"}, {"f(|", ""}, {"local c = pid{p = |", "pid{p, i, d, filter, low, high}"},
		{"x:update(1, |", "c:update(want, measured, dt)"}, {"|", ""},
	} {
		caret := strings.IndexByte(c.line, '|')
		if k, _ := Around(reference, c.line[:caret], caret, "me"); k.Form != c.want {
			t.Errorf("%s: %q, want %q", c.line, k.Form, c.want)
		}
	}
}
