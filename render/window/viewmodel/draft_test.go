package viewmodel

import (
	"context"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"chalkfield/fields"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

const byHand = `return routine {start = {x = 600, y = 1000, heading = 0}, driver = function(bot, pad)
  while true do bot.drive:arcade(pad.left_y, pad.right_x) wait(0.01) end
end}`

// drive rehearses the practice yard with an input script.
func drive(t *testing.T, script string) (*record.Record, rehearse.Setup) {
	return driveOf(t, byHand, script)
}

func driveOf(t *testing.T, routine, script string) (*record.Record, rehearse.Setup) {
	t.Helper()
	field, err := fields.OpenEmbedded("practice_yard")
	if err != nil {
		t.Fatal(err)
	}
	robot, err := robot.Find("hauler")
	if err != nil {
		t.Fatal(err)
	}
	pad, err := rehearse.ReadInputScript("pad", strings.NewReader("time,left_x,left_y,right_x,right_y,buttons\n"+script))
	if err != nil {
		t.Fatal(err)
	}
	setup := rehearse.Setup{Field: field, Nominal: true, Session: driverSession(field),
		Entrants: []rehearse.Entrant{{Robot: robot, Routine: program(t, routine), Pad: pad}}}
	rec, err := rehearse.Run(context.Background(), setup)
	if err != nil {
		t.Fatal(err)
	}
	return rec, setup
}

func driverSession(f *fields.Field) string {
	for _, s := range f.Sessions {
		if f.Phases[s.Phases[0]].Control == fields.Driver {
			return s.Name
		}
	}
	return ""
}

func autoSession(f *fields.Field) string {
	for _, s := range f.Sessions {
		if f.Phases[s.Phases[0]].Control == fields.Autonomous {
			return s.Name
		}
	}
	return ""
}

func program(t *testing.T, text string) *scripting.Program {
	t.Helper()
	p, err := scripting.LoadFS(fstest.MapFS{"a.lua": {Data: []byte(text)}}, "a.lua")
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return p
}

// A drive of a straight, a turn on the spot, a curve and a way back is written as a routine; rehearsed, that routine
// ends where the drive ended. The tolerance is twice the distance that the fit may leave, for motions end within one of
// their own too.
func TestADraftEndsWhereTheDriveEnded(t *testing.T) {
	driven, setup := drive(t, "0,0,0.5,0,0,\n1.2,0,0,0,0,\n2,0,0,0.3,0,\n2.6,0,0,0,0,\n"+
		"3.2,0,0.45,-0.12,0,\n4.6,0,0,0,0,\n5.4,0,-0.4,0,0,a\n6.2,0,0,0,0,\n")
	text := (&Run{Record: driven, Setup: setup}).Draft()
	for _, want := range []string{`side = "chalk",`, "bot.drive:visit(", "bot.drive:face(", "bot.drive:trace(",
		"reverse = true", `the driver pressed "a" at 5.4 s`} {
		if !strings.Contains(text, want) {
			t.Errorf("the draft lacks %q", want)
		}
	}
	setup.Session = autoSession(setup.Field)
	setup.Entrants = []rehearse.Entrant{{Robot: setup.Entrants[0].Robot, Routine: program(t, text)}}
	again, err := rehearse.Run(context.Background(), setup)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range again.Events {
		if e.Kind == record.Failure {
			t.Fatalf("%s\n%s", e.Text, text)
		}
	}
	a, b := end(driven), end(again)
	if off := math.Hypot(a[0]-b[0], a[1]-b[1]); off > 2*within {
		t.Errorf("driven to %v, the draft goes to %v: %.0f mm off\n%s", a, b, 1000*off, text)
	}
}

// A draft of a long drive says from where on the autonomous phase is over.
func TestADraftSaysWhatComesTooLate(t *testing.T) {
	moves := []move{{kind: turning, heading: 1, seconds: 2}, {kind: resting, from: 2, seconds: 3},
		{kind: turning, heading: 2, from: 5, seconds: 2}, {kind: resting, from: 7, seconds: 1}}
	for seconds, before := range map[float64]string{0: "", 1: "face(57.3)", 5: "face(114.6)", 6: "face(114.6)", 8: ""} {
		text := (&draft{moves: moves, seconds: seconds}).text()
		_, after, found := strings.Cut(text, "what follows comes too late\n    bot.drive:")
		if found != (before != "") || !strings.HasPrefix(after, before) {
			t.Errorf("a phase of %g s should end before %q:\n%s", seconds, before, text)
		}
	}
}

func end(r *record.Record) record.Pose { return r.Samples[len(r.Samples)-1].Robots[0].True }

// The start of a draft is where the robot was to stand, not where the spread put it.
func TestADraftStartsWhereTheRobotWasToStand(t *testing.T) {
	field, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	run := &Run{Setup: rehearse.Setup{Field: field}, Record: &record.Record{
		Header: record.Header{Robots: []record.Robot{{Side: 1, Start: record.Pose{0.592, 0.703, -1.52}}}},
		Samples: []record.Sample{{Robots: []record.RobotSample{{Belief: record.Pose{0.6, 0.7, -1.5}}}},
			{T: 1, Robots: []record.RobotSample{{}}}},
	}}
	if got := run.Draft(); !strings.Contains(got, "  side = \"teal\",\n  start = {x = 600, y = 700, heading = -85.9},\n") {
		t.Error(got)
	}
}
