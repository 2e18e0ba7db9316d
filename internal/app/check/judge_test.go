package check

import (
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/record"
)

// expecting parses a case with these lines.
func expecting(t *testing.T, lines string) *File {
	t.Helper()
	f, err := Parse("dir/a.check.toml", []byte("routine = 'mine.lua'\n[[cases]]\nname = 'one'\n"+lines))
	if err == nil {
		err = f.Faults()
	}
	if err != nil {
		t.Fatalf("%s: %v", lines, err)
	}
	return f
}

func TestEachExpectationHoldsAndFallsShort(t *testing.T) {
	stalled := func(r *record.Record) { r.Events[6].Reason, r.Events[6].Value = record.GotStuck, 0.03 }
	foul := func(r *record.Record) {
		r.Events = append(r.Events, record.Event{T: 3.9, Kind: record.Foul, What: "sled in camp", File: "mine.lua", Line: 28})
	}
	broken := func(r *record.Record) {
		r.Events = append(r.Events, record.Event{T: 3.9, Kind: record.Failure, Text: "attempt to index nil", Trace: "stack",
			File: "mine.lua", Line: 29})
	}
	same := func(*record.Record) {}
	twice := func(r *record.Record) {
		r.Events = append(r.Events[:2:2], append([]record.Event{did(1.5, record.Pickup, "core 2", 17)}, r.Events[2:]...)...)
	}
	unfinished := func(r *record.Record) {
		r.Events = r.Events[:7]
		r.Samples[200].Robots[0].Lines = []int{28}
	}
	for _, c := range []struct {
		name, holds, fails string // lines of the case
		change             func(*record.Record)
		happened, place    string
	}{
		{"score at least", "score_at_least = 12", "score_at_least = 13", same, "12 points", "at 4.00 s, mine.lua:27"},
		{"score at least, with the place where the plan was left", "score_at_least = 2", "score_at_least = 12",
			func(r *record.Record) { clumsy(r) }, "2 points; first left the plan: clamp misses (line 20)",
			"at 2.10 s, mine.lua:20"},
		{"score at most", "score_at_most = 12", "score_at_most = 11.5", same, "12 points", "at 4.00 s"},
		{"ahead", "ahead = true", "", same, "", ""},
		{"not ahead", "", "ahead = true", func(r *record.Record) { clumsy(r) }, "totals ochre 2, teal 3",
			"at 2.10 s, mine.lua:20"},
		{"count of a rule", "count_at_least = {'core in sled' = 1}", "count_at_least = {'core in sled' = 2}", same,
			"1 time", ""},
		{"points of a rule", "points_at_least = {'sled in camp' = 10}", "points_at_least = {'sled in camp' = 11}", same,
			"10 points for it", ""},
		{"done before", "done_before = '3.7 s'", "done_before = '3.5 s'", same, "done at 3.60 s", "at 3.60 s"},
		{"done at all", "score_at_least = 1", "done_before = '3.7 s'", unfinished, "not done at the end",
			"at 4.00 s, mine.lua:28"},
		{"event before", "events = [{event = 'clamped', before = '2.5 s'}]",
			"events = [{event = 'clamped', before = '2 s'}]", same, "it happened first at 2.00 s", "at 2.00 s, mine.lua:20"},
		{"event after", "events = [{event = 'pickup core', after = '0.9 s'}]",
			"events = [{event = 'pickup core', after = '1.2 s'}]", same, "it happened once, too early: at 1.00 s",
			"mine.lua:15"},
		{"event in a gap", "events = [{event = 'pickup', before = '2 s'}]",
			"events = [{event = 'pickup', after = '1.2 s', before = '1.4 s'}]", twice,
			"not in that time: at 1.00 s and next at 1.50 s", "at 1.50 s, mine.lua:17"},
		{"event twice, the second too late", "events = [{event = 'pickup', at_least = 2}]",
			"events = [{event = 'pickup', at_least = 2, before = '1.2 s'}]", twice, "once, the next only at 1.50 s",
			"at 1.50 s, mine.lua:17"},
		{"events all too early", "events = [{event = 'pickup', at_most = 2}]",
			"events = [{event = 'pickup', after = '2 s'}]", twice, "it happened 2 times, all too early, the last at 1.50 s", ""},
		{"event of a name", "events = [{event = 'pickup core 1'}]", "events = [{event = 'pickup core 2'}]", same, "never",
			""},
		{"event how often", "events = [{event = 'pickup', at_least = 1}]", "events = [{event = 'pickup', at_least = 2}]",
			same, "once", ""},
		{"event at most", "events = [{event = 'contact sled', at_most = 1}]", "events = [{event = 'contact', at_most = 0}]",
			same, "the first too many: touches near sled", "at 1.50 s, mine.lua:16"},
		{"a motion's end", "events = [{event = 'motion end timeout', at_most = 0}, {event = 'motion end ahead'}]",
			"events = [{event = 'motion end arrived', at_most = 0}]", same, "the first too many", "mine.lua:27"},
		{"a warning", "events = [{event = 'warning bot.intake', at_most = 1}]",
			"events = [{event = 'warning', at_most = 0}]", func(r *record.Record) {
				r.Events = append(r.Events, record.Event{T: 0.1, Kind: record.Warning, What: "bot.intake:run",
					Text: "bot.intake:run: 24 V are more than", File: "mine.lua", Line: 12})
			}, "the first too many: warning: bot.intake:run: 24 V are more than", "at 0.10 s, mine.lua:12"},
		{"order", "order = ['pickup core', 'clamped near sled', 'scored sled']", "order = ['clamped', 'pickup']", same,
			"no pickup after clamped (2.00 s)", "at 2.00 s, mine.lua:20"},
		{"end at a place", "end = {at = ['2 m', '1 m'], within = '10 mm'}", "end = {at = ['2.1 m', '1 m']}", same,
			"100 mm away", "at 4.00 s"},
		{"end with a heading", "end = {heading = '6 deg', within_heading = '1 deg'}", "end = {heading = '90 deg'}", same,
			"84.3 deg off", ""},
		{"belief", "belief_within = '60 mm'", "belief_within = '40 mm'", same, "50 mm off", ""},
		{"belief's heading", "belief_heading_within = '2 deg'", "belief_heading_within = '1 deg'", same, "1.1 deg off", ""},
		{"never touches", "never_touches = ['wall', 'rack', 'robot']", "never_touches = ['sled']", same,
			"touches near sled", "at 1.50 s, mine.lua:16"},
		{"never touches, not even with a clamp", "never_touches = ['rack']", "never_touches = ['near sled']",
			func(r *record.Record) {
				r.Events = slices.DeleteFunc(r.Events, func(e record.Event) bool { return e.Kind == record.Contact })
			}, "clamped near sled", "at 2.00 s, mine.lua:20"},
		{"digits that tell the limit and the value apart", "", "end = {heading = '5.72 deg', within_heading = '0.009 deg'}",
			same, "0.010 deg off", "the routine had ended"},
		{"an event without a line, after the end", "", "events = [{event = 'contact wall', at_most = 0}]",
			func(r *record.Record) {
				r.Events = append(r.Events, record.Event{T: 3.9, Kind: record.Contact, What: "wall"})
			}, "once, the first too many", "at 3.90 s, mine.lua:27 (the routine had ended)"},
		{"never touches another robot", "never_touches = ['wall']", "never_touches = ['robot']", func(r *record.Record) {
			r.Events = append(r.Events, did(3.9, record.Contact, "Barrow", 28))
		}, "touches Barrow", "at 3.90 s"},
		{"no foul", "score_at_least = 1", "no_foul = true", foul, "foul: sled in camp", "at 3.90 s, mine.lua:28"},
		{"no foul where there is none", "no_foul = true", "", same, "", ""},
		{"no stall", "score_at_least = 1", "no_stall = true", stalled, "stalled after 0.40 s", "mine.lua:27"},
		{"never tips", "events = [{event = 'tips right', at_most = 0}]", "events = [{event = 'tips', at_most = 0}]",
			func(r *record.Record) {
				r.Events = append(r.Events, record.Event{T: 3.9, Kind: record.Tips, What: "backwards", Value: 3.5,
					File: "mine.lua", Line: 28})
			}, "once, the first too many", "at 3.90 s, mine.lua:28"},
		{"no stall where there is none", "no_stall = true", "", same, "", ""},
		{"battery", "battery_at_least = '11.5 V'", "battery_at_least = '12 V'", same, "11.90 V", ""},
		{"air", "air_at_least = '400 kPa'", "air_at_least = '5.5 bar'", same, "5.0 bar", ""},
		{"air in another unit", "air_at_least = '5 bar'", "air_at_least = '5.02 bar'", same, "5.00 bar", ""},
		{"need", "need = ['done < 4 s', 'score > 10 and times(pickup) >= 1']", "need = ['done < 3 s']", same,
			"done 3.60 s", ""},
		{"need of a result that another run gives", "", "need = ['result(turned) < 3 deg']", same,
			`the routine gives no result("turned", ...)`, ""},
		{"a routine that fails, whatever is expected", "", "score_at_least = 1", broken, "attempt to index nil",
			"at 3.90 s, mine.lua:29"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := made(1, false)
			c.change(r)
			plan := results.Of(made(1, true), own)
			if c.holds != "" {
				if short := judge(r, wordsOf(r, yard), &expecting(t, c.holds).Cases[0].Expectations,
					&plan).short; len(short) > 0 {
					t.Errorf("%s must hold: %+v", c.holds, short)
				}
			}
			if c.fails == "" {
				return
			}
			short := judge(r, wordsOf(r, yard), &expecting(t, c.fails).Cases[0].Expectations, &plan).short
			if len(short) != 1 {
				t.Fatalf("%s must fall short once: %+v", c.fails, short)
			}
			if s := short[0]; !strings.Contains(s.Happened, c.happened) || !strings.Contains(s.Place(), c.place) {
				t.Errorf("%+v (%s), want %q %q", s, s.Place(), c.happened, c.place)
			}
		})
	}
}

// The nominal rehearsal is the plan: nothing says whether a touch in it is meant, but a clamp that misses never is.
func TestWithoutAPlanATouchIsNoTrouble(t *testing.T) {
	expect := &expecting(t, "score_at_least = 13").Cases[0].Expectations
	for _, c := range []struct {
		record *record.Record
		want   string
	}{{made(1, true), "12 points"}, {clumsy(made(1, true)), "2 points; first trouble: clamp misses (line 20)"}} {
		short := judge(c.record, wordsOf(c.record, yard), expect, nil).short
		if len(short) != 1 || short[0].Happened != c.want {
			t.Errorf("%+v, want %q", short, c.want)
		}
	}
}

func TestAWrongCheckFileIsRefusedWithItsPlaceAndRemedy(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"[[cases]]\nname = 'x'\nscore_at_least = 1", `a.check.toml:1:1: routine: the key "routine" is missing`},
		{"routine = 'a'\nprogram = 'b'\n[[cases]]\nname = 'x'\nscore_at_least = 1",
			"a.check.toml:2:11: program: the robot has one master: leave out routine, or program"},
		{"routine = 'a'", `the key "cases" is missing`},
		{"routine = 'a'\ncases = []", "a.check.toml:2:9: cases: there is no case"},
		{"routine = 'a'\n[[cases]]\nname = 'x'", `expects nothing: write, for example, score_at_least = 10`},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nscore_at_lest = 3",
			`a.check.toml:4:1: cases[0].score_at_lest: there is no key "score_at_lest" here: write "score_at_least"`},
		{"routine = 'a'\n[[cases]]\nname = 'x'\ndone_before = 3", `"3 s"`},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nscore_at_least = 1\n[[cases]]\nname = 'x'\nscore_at_least = 1",
			"a.check.toml:6:8: cases[1].name: \"x\" is the name of another case"},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nscore_at_least = 1\ntrials = 100", "write share = 0.9"},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nscore_at_least = 1\ntrials = 100\nshare = 1.0", "write share = 0.9"},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nscore_at_least = 1\ntrials = 100\nshare = 0.99",
			"100 trials cannot show a share of 0.99 even if all of them hold: write trials = 381 or more"},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nscore_at_least = 1\nshare = 0.9", "a share needs trials"},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nscore_at_least = 1\nnominal = true\ntrials = 10\nshare = 0.5",
			"leave out one of them"},
		{"routine = 'a'\n[[cases]]\nname = 'x'\ngolden = 'g'\ntrials = 10\nshare = 0.5", "without trials"},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nscore_at_least = 1\ntrials = 999999999\nshare = 0.5", "from 1 to 100000"},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nseed = -1\nscore_at_least = 1", "must be 0 or more"},
		{"routine = 'a'\n[[cases]]\nname = 'x'\norder = ['pikup core']", `"pikup" is no kind of event: write "pickup"`},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nevents = [{event = 'pickup', after = '3 s', before = '2 s'}]",
			"after must be earlier than before"},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nevents = [{event = 'pickup', at_least = 3, at_most = 2}]", "allow nothing"},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nend = {}", "give at, heading or both"},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nend = {at = ['1 m', '1 m'], within = '0 mm'}", "must be more than 0"},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nscore_at_least = 1\ngolden_within = {place = '1 mm'}",
			`a.check.toml:5:17: cases[0].golden_within: there is no golden record to be within: write golden = ` +
				`"plan.golden.jsonl" too`},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nbelief_within = '-3 mm'",
			`a.check.toml:4:17: cases[0].belief_within: must be more than 0: write, for example, "40 mm"`},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nbelief_heading_within = '0 deg'",
			`must be more than 0: write, for example, "3 deg"`},
		{"routine = 'a'\n[[cases]]\nname = 'x'\ndone_before = '-1 s'", `must be more than 0`},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nair_at_least = '-1 psi'", `must be more than 0: write, for example, "4 bar"`},
		{"routine = 'a'\n[[cases]]\nname = 'x'\nair_at_least = '1 km'", `"km" is not a unit of a pressure`},
		{"routine = 'a'\n[[cases]]\nname = 'x'\ncount_at_least = {'core in sled' = 0}",
			`must be more than 0: nothing counts less often`},
		{"routine = 'a'\n[[cases]]\nname = 'x'\ngolden = 'g'\ngolden_within = {place = '-1 mm'}", "must be 0 or more"},
	} {
		f, err := Parse("a.check.toml", []byte(c.text))
		if err == nil {
			err = f.Faults()
		}
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: error %v, want %q", c.text, err, c.want)
		}
	}
}

func meant(f *File) {
	r := made(1, true)
	wordsOf(r, yard).meaning(f.positions, "cases[0]", &f.Cases[0].Expectations, r)
}

// A name that the field does not have would make an expectation that can never fail, or never hold.
func TestNamesThatTheRehearsalDoesNotHaveAreRefused(t *testing.T) {
	for _, c := range []struct{ lines, want string }{
		{"never_touches = ['wal']", `dir/a.check.toml:4:18: cases[0].never_touches[0]: "wal" is no wall, goal or robot ` +
			`here: write "wall"`},
		{"never_touches = ['core']", `"core" is no wall, goal or robot here`},
		{"count_at_least = {'core in sleds' = 1}", `write "core in sled"`},
		{"order = ['pickup core 9']", `"core 9" is no thing that can be pickup: write "core 1"`},
		{"events = [{event = 'missed clmp', at_most = 0}]", `write "clamp"`},
		{"events = [{event = 'motion end time-out', at_most = 0}]", `write "timeout"`},
		{"events = [{event = 'foul centre line', at_most = 0}]", "is no thing that can be foul"},
		{"need = ['done < 3']", "dir/a.check.toml:4:15: cases[0].need[0]: a time stands with a plain number: write 3 s"},
		{"need = ['score > 3', 'overshot < 3 mm']", `a.check.toml:4:23: cases[0].need[1]: "overshot" is nothing that a ` +
			`formula can read: write "overshoot"`},
		{"need = ['share(score > 3) > 90%']", "share"},
	} {
		f := expecting(t, c.lines)
		meant(f)
		if err := f.positions.Err(); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %q", c.lines, err, c.want)
		}
	}
	f := expecting(t, "never_touches = ['wall', 'Barrow', 'robot', 'low rack', 'rack']\norder = ['note anything', "+
		"'pickup core', 'scored near sled', 'motion end ahead', 'motion end timeout']")
	meant(f)
	if err := f.positions.Err(); err != nil {
		t.Error(err)
	}
}
