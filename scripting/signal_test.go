package scripting

import (
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/record"
	"chalkfield/scripting/talk"
)

func TestASignalHoldsUntilTheNextValue(t *testing.T) {
	s := stageOf(t, load(t, auto(`
    signal("error", 3, "mm")
    signal("error", 2.0000004)          -- the last of a tick counts; a record has six decimals
    wait()
    signal("count", 1)
    wait()
    signal("error", 2, "mm")            -- as it was
    wait()
    signal("error", -1.5)`)), Env{})
	s.Begin(Auto)
	for tick, want := range [][]record.Said{{{Signal: 0, Value: 2}}, {{Signal: 1, Value: 1}}, nil,
		{{Signal: 0, Value: -1.5}}, nil} {
		s.once()
		if got := s.TakeSaid(); !slices.Equal(got, want) {
			t.Errorf("tick %d: %v, want %v", tick, got, want)
		}
	}
	if want := []record.Signal{{Name: "error", Unit: "mm"}, {Name: "count"}}; !slices.Equal(s.Signals(), want) {
		t.Errorf("the signals are %v, want %v", s.Signals(), want)
	}
	if f := s.failure(); f != "" {
		t.Error(f)
	}
}

func TestASignalThatCannotBeRecordedIsOneClearError(t *testing.T) {
	for name, row := range map[string]struct{ body, want string }{
		"not a number": {`signal("e", 0/0, "mm")`, `signal: the value of "e" must be a finite number, not NaN`},
		"infinite":     {`signal("e", 1/0)`, `signal: the value of "e" must be a finite number, not +Inf`},
		"a text":       {`signal("e", "3")`, `signal: the value of "e" must be a number, not the text "3"`},
		"nothing":      {`signal("e")`, `signal: the value of "e" must be a number, not nil`},
		"too large": {`signal("e", -1.1e12)`,
			`signal: the value of "e" is -1.1e+12, and the greatest that a record keeps is 1e+12: write it in a larger unit`},
		"no name":      {`signal(3, 4)`, "signal: the name must be a text, not a number"},
		"empty name":   {`signal("", 4)`, `signal: the name "" is not one: write a word or a few`},
		"a comma":      {`signal("a, b", 4)`, `signal: the name "a, b" is not one`},
		"a line break": {`signal("a\nb", 4)`, `signal: the name "a\nb" is not one`},
		"long name":    {`signal(("x"):rep(41), 4)`, "is not one: write a word or a few, at most 40 letters"},
		"spaced unit": {`signal("a", 4, "mm / s")`,
			`signal: the unit "mm / s" is not one: write its short form, such as "mm"`},
		"a number as unit": {`signal("a", 4, 5)`, "signal: the unit must be a text, not a number"},
		"another unit": {"signal('a', 4, 'mm')\nwait()\nsignal('a', 4, 'deg')",
			`routine.lua:3: signal: "a" is in "mm" since routine.lua:1: leave the unit out here, or take another name`},
		"a unit later": {"signal('a', 4)\nsignal('a', 4, 'deg')",
			`signal: "a" is without a unit since routine.lua:1: leave the unit out here`},
		"11 in a tick": {"for i = 1, 10 do signal('a', i) end wait() for i = 1, 10 do signal('a', i) end\nsignal('b', 1)",
			"routine.lua:2: signal: more than 10 values in a control tick (10 ms): call wait() between, or record fewer"},
		"11 in two tasks": {"task(function() for i = 1, 6 do signal('a', i) end end)\n" +
			"for i = 1, 5 do signal('b', i) end wait()",
			"more than 10 values in a control tick"},
		"65 names": {"for i = 1, 65 do signal('n' .. i, i) wait() end",
			`signal: more than 64 signals: "n65" is one too many`},
		"while the file is read": {"end, driver = (signal('a', 1) or 1) and function()", ""},
	} {
		t.Run(name, func(t *testing.T) {
			if row.want == "" {
				const want = "signal: works only while auto or driver runs"
				if _, err := LoadFS(folder(auto(row.body)), "routine.lua"); err == nil || !strings.Contains(err.Error(), want) {
					t.Errorf("got %v, want %q", err, want)
				}
				return
			}
			got := rehearse(t, row.body).failure()
			message, _, _ := strings.Cut(got, "\n")
			if !strings.Contains(message, row.want) {
				t.Errorf("got %q, want %q", got, row.want)
			}
		})
	}
}

// A program records as a routine does.
func TestAProgramHasSignals(t *testing.T) {
	with := func(values ...any) talk.Command { return talk.Command{Do: "signal", With: values} }
	s := stageOf(t, foreign(t, &script{steps: []talk.Answer{
		{Commands: []talk.Command{with("error", 3.5, "mm"), with("error", 4.5)}},
		{Commands: []talk.Command{with("error", nil)}},
	}}), Env{})
	s.Begin(Auto)
	s.once()
	if got := s.TakeSaid(); !slices.Equal(got, []record.Said{{Signal: 0, Value: 4.5}}) {
		t.Errorf("said %v", got)
	}
	s.once()
	const want = `signal: value 2 is null, not a number: it was NaN or infinite, or there was none`
	if got := s.failure(); !strings.HasPrefix(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}
