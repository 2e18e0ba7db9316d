package study

import (
	"context"
	"fmt"
	"io/fs"
	"math"
	"strings"
	"testing"

	"chalkfield/assets"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/property"
)

// spoilt are numbers of the demo that a search may turn, in the order of the text: as they stand there, and as param().
// Each is 30 % off, some too long and some too short; the limits are half as much and half as much again.
var spoilt = []struct {
	from  string
	value float64
	off   float64
}{
	{"bot.drive:ahead(%s, {speed = 400})\n    bot.claw:grab()", -60, 1.3},
	{"bot.drive:ahead(%s, {speed = 800})", 200, 0.7},
	{"bot.drive:ahead(%s, {speed = 600})\n    rack_pair", -260, 0.7},
	{"bot.drive:ahead(%s, {speed = 400})\n    bot.clamp:shut()", -165, 0.7},
	{"bot.drive:ahead(%s, {speed = 400})\n\n    -- Home.", 420, 0.7},
}

// demo is the demo with its numbers as parameters, spoilt.
func demo(t *testing.T) Candidate {
	t.Helper()
	data, err := fs.ReadFile(assets.Routines, "core_haul_demo.lua")
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	for i, s := range spoilt {
		value := math.Round(s.value * s.off)
		low, high := min(s.value/2, s.value*1.5), max(s.value/2, s.value*1.5)
		was := fmt.Sprintf(s.from, fmt.Sprint(s.value))
		if strings.Count(text, was) != 1 {
			t.Fatalf("the demo has not once: %s", was)
		}
		with := fmt.Sprintf("param(\"n%d\", %g, %g, %g)", i, value, low, high)
		text = strings.Replace(text, was, fmt.Sprintf(s.from, with), 1)
	}
	in := hauler(t)
	return candidate(t, in.Field, in.Robot, text)
}

// The demo scores 32 or more in some eight of ten rehearsals, with its numbers spoilt by 30 % in fewer than half. A
// search of 1,000 rehearsals brings it back (2,000 are allowed): over fresh seeds its share is that of the demo as it
// stands, or more, but for what chance gives (0.43 spoilt, 0.84 found, 0.79 as it stands; 0.85 found with 2,000).
func TestTheDemoSpoiltComesBackToItsShare(t *testing.T) {
	if property.Cases(0, 1) == 0 {
		t.Skip("some 2,000 rehearsals of 20 s")
	}
	const fresh = 100
	ctx := context.Background()
	one, err := NewTune(ctx, rehearse.Run, demo(t), Want{For: "share(score >= 32)", Confirm: fresh},
		Options{Count: 1000, Seed: 1, Shard: results.Whole})
	if err != nil {
		t.Fatal(err)
	}
	if one.journal, err = results.InMemory(one.Header); err != nil {
		t.Fatal(err)
	}
	one.workers, one.tell = 4, func(results.Progress) {}
	for _, stage := range []func(context.Context) error{one.begin, one.conclude} {
		if err := stage(ctx); err != nil {
			t.Fatal(err)
		}
	}
	stands := []float64{700} // haul_speed, which the text has first
	for _, s := range spoilt {
		stands = append(stands, s.value)
	}
	asItStands, winner := one.contender(stands), one.contender(one.found.Winner)
	if err := one.give(ctx, []*contender{asItStands}, one.found.Fresh, fresh, one.Header.Count); err != nil {
		t.Fatal(err)
	}
	share := func(c *contender) float64 { return one.worth(c, one.found.Fresh, fresh).Value }
	today, found, usual := share(one.contender(one.Header.Search.Today())), share(winner), share(asItStands)
	t.Logf("spoilt %.2f, found %.2f with %v, as it stands %.2f", today, found, winner.values, usual)
	if chance := 1.96 * math.Sqrt(2*usual*(1-usual)/fresh); found < usual-chance || today > usual-chance {
		t.Errorf("spoilt %.2f, found %.2f, as it stands %.2f", today, found, usual)
	}
}

// Real rehearsals of a routine whose parameters do nothing are the same whatever their values: nothing is called
// better.
func TestNoFalseAlarmsOfRealRehearsals(t *testing.T) {
	c := eightStopsOn(t)
	idle := candidate(t, c.Setup.Field, c.Setup.Entrants[0].Robot, `return routine {
  title = "idle", start = {x = 300, y = 300, heading = 0},
  auto = function(bot)
    param("a", 1, 0, 5) param("b", 2, 0, 5) whether("c", false)
    local r = bot.drive:ahead(500, {speed = 700})
    result("left", r.left, "mm")
  end,
}`)
	n := property.Cases(1, 8)
	for seed := range uint64(n) {
		got, _ := tune(t, rehearse.Run, idle, Want{For: "-belief_error + result(left)", Confirm: 8},
			Options{Count: 60, Seed: 1 + 1000*seed})
		if got.Is || got.Freedoms[0].Matters != analysis.DoesNot {
			t.Errorf("seed %d: %s %s", seed, got.Verdict, got.Freedoms[0].Matters)
		}
		if got.Alike {
			t.Fatal("nothing was drawn: this tells nothing")
		}
	}
}
