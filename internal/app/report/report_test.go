package report

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"

	"github.com/google/go-cmp/cmp"
)

// short is a record of two robots over 0.06 s, made by hand.
func short() *record.Record {
	robot := func(x float64, doing record.Activity) record.RobotSample {
		return record.RobotSample{True: record.Pose{x, 1, 0}, Belief: record.Pose{x + 0.003, 1.004, 0.1}, Doing: doing}
	}
	r := &record.Record{
		Header: record.Header{
			Field: record.File{Name: "f.toml", Title: "Two Pots"}, Session: "autonomous", Seed: 7,
			Robots: []record.Robot{{File: record.File{Title: "One"}, Routine: record.File{Title: "first"}},
				{File: record.File{Name: "two.toml"}, Side: 1}},
		},
		Samples: []record.Sample{
			{T: 0, Robots: []record.RobotSample{robot(1, record.Moving), robot(2, record.Idle)}},
			{T: 0.02, Robots: []record.RobotSample{robot(1.1, record.Waiting), robot(2, record.Idle)}},
			{T: 0.06, Robots: []record.RobotSample{robot(1.2, record.Idle), robot(2, record.Idle)}},
		},
		Events: []record.Event{
			{T: 0, Kind: record.TaskStart}, {T: 0.01, Kind: record.MotionEnd, What: "ahead", Reason: record.Arrived,
				Took: 0.01, File: "a.lua", Line: 4},
			{T: 0.02, Kind: record.Failure, Text: "boom", Trace: "stack", File: "a.lua", Line: 5},
		},
		Sheet: record.Sheet{
			Sides: []string{"red", "blue"}, Winner: 0, Total: []float64{4, 0},
			Rows: []record.Row{{Rule: "ball in pot", Count: []float64{2, 0}, Points: []float64{4, 0}}},
			Left: []record.Left{{Battery: 12.4, Air: 600e3, Strokes: 2}, {Battery: 12.6}},
		},
	}
	return r
}

func textOf(t *testing.T, d *Document) string {
	t.Helper()
	var out strings.Builder
	if err := d.Text(&out); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func told(t *testing.T, r *record.Record) *Document {
	t.Helper()
	d, err := Rehearsal(units.Metric, r, nil)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func coreHaul(t *testing.T) *fields.Field {
	t.Helper()
	f, err := fields.OpenEmbedded("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestSpentAddsUpToTheWholeTime(t *testing.T) {
	want := []Share{{record.Moving, 0.02}, {record.Turning, 0}, {record.Waiting, 0.04}, {record.Mechanism, 0},
		{record.Idle, 0}}
	if diff := cmp.Diff(want, shares(short(), 0)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// A belief 3 mm ahead and 4 mm aside is 5 mm off.
func TestSummaryOfTheEnd(t *testing.T) {
	s, err := Summarise(short())
	if err != nil {
		t.Fatal(err)
	}
	one := s.Robots[0]
	if one.BeliefError != 0.005 || one.HeadingError != 0.1 || !strings.HasPrefix(one.Failed, "a.lua:5: boom") ||
		s.Robots[1].Failed != "" {
		t.Errorf("got %+v", one)
	}
	if len(s.Events) != 2 {
		t.Errorf("%d events told, want 2: a task's start is for the window", len(s.Events))
	}
}

func TestTextTellsEverything(t *testing.T) {
	out := textOf(t, told(t, short()))
	for _, want := range []string{
		"Two Pots, autonomous, 0 s, seed 7", "red: One with \"first\"\nblue: two.toml without a routine\n",
		"0.01 s  One: ahead: arrived after 0.01 s  a.lua:4\n",
		"0.02 s  One: error: a.lua:5: boom         a.lua:5\n                stack",
		"Where the time went (One)", "waiting      0.04 s", "ball in pot   2 -> 4   -", "red is ahead",
		"One has left: battery 12.40 V, air 600 kPa after 2 strokes", "two.toml has left: battery 12.60 V\n",
		"One: true (1200, 1000, 0.0 deg), belief (1203, 1004, 5.7 deg), off by 5 mm and 5.7 deg", "fingerprint ",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in:\n%s", want, out)
		}
	}
}

// Every rule of every embedded field has a sentence that names what it counts, and every robot its free speed.
func TestShownFilesAreExplained(t *testing.T) {
	for _, name := range fields.Embedded() {
		f, err := fields.OpenEmbedded(name)
		if err != nil {
			t.Fatal(err)
		}
		out := textOf(t, Field(units.Metric, f))
		for _, rule := range f.Rules {
			if sentence := RuleSentence(f, rule); len(sentence) < 10 ||
				!strings.Contains(out, rule.Name+": "+sentence) {
				t.Errorf("%s: rule %s is shown as %q", name, rule.Name, sentence)
			}
		}
	}
	for _, name := range robot.Embedded() {
		r, err := robot.OpenEmbedded(name)
		if err != nil {
			t.Fatal(err)
		}
		if out := textOf(t, Robot(units.Metric, r, coreHaul(t))); !strings.Contains(out, "free speed") {
			t.Errorf("%s:\n%s", name, out)
		}
	}
}

// Places as the field's file gives them, in mm; copies of the half turn have rows of their own.
func TestPlacesAreToldAsRoutinesWriteThem(t *testing.T) {
	f := coreHaul(t)
	out := textOf(t, Field(units.Metric, f))
	for _, want := range []string{
		"core 3, 5, 7: (950, 450), (1115, 450), (1280, 450)\n", "core 4, 6, 8: (3250, 2550), (3085, 2550), (2920, 2550)\n",
		"core 1: loaded in the first robot of ochre\n", "ochre low rack (rack), ochre: (1560, 40) heading 90\n",
		"teal near sled (sled), nobody's: (3600, 1500) heading -90\n",
		"ochre camp (camp), ochre: corners (0, 0), (380, 0), (380, 1200), (0, 1200)\n",
		"centre line: from (2100, 0) to (2100, 3000), 50 mm wide\n",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in:\n%s", want, out)
		}
	}
	for _, p := range f.Pieces {
		if p.Robot < 0 && p.Goal < 0 && !strings.Contains(out, spot(units.Metric, p.At.At())) {
			t.Errorf("%s at %s is not told", p.Name, spot(units.Metric, p.At.At()))
		}
	}
}

func TestHeadingsOfPlacesAreWithinHalfATurn(t *testing.T) {
	for deg, want := range map[float64]string{180: "180", -180: "180", 540: "180", -179.9: "180", 270: "-90", -0.2: "0",
		359: "-1"} {
		if got := Place(units.Metric, geom.Pose{Heading: deg * math.Pi / 180}); got != "(0, 0) heading "+want {
			t.Errorf("%g deg is written %q", deg, got)
		}
	}
}

func TestRulesWithoutKindsNameWhatTheyCount(t *testing.T) {
	f := &fields.Field{}
	if got := RuleSentence(f, fields.Rule{Kind: fields.PieceInGoal}); got != "any piece in any goal" {
		t.Errorf("got %q", got)
	}
}

// Each kind of rule in words, as a file writes it.
func TestEveryKindOfRuleIsToldInWords(t *testing.T) {
	base, err := fields.EmbeddedSource("kiln_yard")
	if err != nil {
		t.Fatal(err)
	}
	for rule, want := range map[string]string{
		`kind = "piece scored by"
points = 2
phase = "opening"
before = "9 s"`: "any piece put in any goal in opening in the first 9 s, 2 points each, to the side of the scorer",
		`kind = "set"
points = 2
set = ["brick", "glaze"]
credit = "goal"
judged = "end"`: "each set of brick and glaze in one goal, 2 points each, to the side of the goal; judged at " +
			"the end of the session",
		`kind = "set"
points = 2
set = ["glaze"]
each = 2
goals = ["kiln"]`: "each set of 2 x glaze in one kiln, 2 points each, to the side of the scorer",
		`kind = "set"
points = 2
run = 3
count = 1`: "each run of 3 x piece of one side, one upon another, in one goal, 2 points each, at most 1, " +
			"to the side of the scorer",
		`kind = "owner"
points = 2
by = "last"`: "any goal that belongs to the side whose piece came in last, 2 points each, to the side of the scorer",
		`kind = "line of goals"
points = 9
pieces = ["brick"]
rows = [["plum kiln", "moss kiln"]]
judged = "phase end"`: "each row of goals that belong to the side with the most brick in it: plum kiln - moss kiln, " +
			"9 points each, to the side of the scorer; judged at the end of each phase, and added up",
		`kind = "held"
points = 1
judged = "phase end"
phase = "shift"`: "any piece held by a robot, 1 point each; judged at the end of shift",
		`kind = "robot touches"
points = 1
with = "wall"`: "robot that touches a wall, 1 point each",
		`kind = "robot touches"
points = 1
with = "goal"`: "robot that touches any goal, its own or nobody's, 1 point each",
		`kind = "line crossed"
points = 1
line = "rope"
side = "plum"
inside = "all"
penalty = "lost"`: "plum robot wholly over the rope in any phase: a foul, 1 point lost",
		`kind = "contact"
points = 4
with = "robot"
zone = "shelter"
phase = "shift"`: "robot that touches the other side's robot in its shelter in shift: a foul, 4 points to the other " +
			"side",
		`kind = "contact"
points = 4
with = "goal"`: "robot that touches the other side's goal in any phase: a foul, 4 points to the other side",
		`kind = "limit"
points = 4
most = 2
pieces = ["glaze"]`: "robot that holds more than 2 of glaze in any phase: a foul, 4 points to the other side",
		`kind = "formula"
points = "2 * count('brick in kiln')"
when = "phase == 'shift'"
judged = "once"`: "2 * count('brick in kiln') points when phase == 'shift'; what it is when that first comes about",
	} {
		f, err := fields.Parse("kiln_yard.toml", []byte(string(base)+"\n[[rules]]\nname = \"new\"\n"+rule))
		if err != nil {
			t.Errorf("%s: %v", rule, err)
			continue
		}
		if got := RuleSentence(f, f.Rules[len(f.Rules)-1]); got != want {
			t.Errorf("got  %s\nwant %s", got, want)
		}
	}
}

func TestARuleSaysWhatADrawnPhaseGives(t *testing.T) {
	f := &fields.Field{Phases: []fields.Phase{{Name: "autonomous"}}}
	for draw, want := range map[string]string{"none": "", "each": ", in a draw each side gets them",
		"half": ", in a draw half of them"} {
		rule := fields.Rule{Kind: fields.PhaseWinner, Points: 6, Draw: draw}
		if got := RuleSentence(f, rule); got != "ahead after autonomous, 6 points each"+want {
			t.Errorf("%s: got %q", draw, got)
		}
	}
}

func TestAFileWithoutTitleIsCalledByItsName(t *testing.T) {
	if got := heading("", "least.toml") + heading("Least", "least.toml"); got != "least.tomlLeast (least.toml)" {
		t.Errorf("got %q", got)
	}
}

// Rows of less than 0.05 J are no line, and what others gave has no bar.
func TestTextSaysWhereTheEnergyWent(t *testing.T) {
	r := short()
	r.Sheet.Energy = []record.Energy{{Taken: 10, Battery: 1, Motors: 6, Slip: 0.01, Rolling: 5, Pushed: -2.01}, {}}
	out := textOf(t, told(t, r))
	_, block, _ := strings.Cut(out, "Where the energy went: 10.0 J from the battery")
	block, _, _ = strings.Cut(block, "\n\n")
	_, block, _ = strings.Cut(block, "\n")
	want := "  battery's resistance       1.0 J  ###\n  heat of the motors         6.0 J  ##################\n" +
		"  rolling resistance         5.0 J  ###############\n  moved: pushed, hauled     -2.0 J"
	if block != want {
		t.Errorf("got\n%s\nwant\n%s", block, want)
	}
}

// The dead band is what the drive model's friction takes, and grows with the friction.
func TestRobotSaysItsDeadBand(t *testing.T) {
	r, err := robot.OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	for _, drag := range []float64{r.Drive.Drag, 2 * r.Drive.Drag} {
		own := *r
		own.Drive.Drag = drag
		out := textOf(t, Robot(units.Metric, &own, coreHaul(t)))
		if want := fmt.Sprintf("dead band %.2f V: with less it does not move",
			own.Model().KS); !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
}

// A stalled motor takes its stall current by the battery's volts over its own, in reverse at most twice that (Ohm):
// a limit above tells of a motor that it does not touch.
func TestALimitAboveTheStallCurrentIsTold(t *testing.T) {
	for _, c := range []struct {
		limit, open float64
		want        string
	}{{0, 12, ""}, {19, 12, "; limited to 19 A"}, {21, 12.9, "; limited to 21 A"},
		{20, 12, "; its limit of 20 A is above that: it limits in a sudden reverse only"},
		{39, 11, "; its limit of 39 A is above that: it limits in a sudden reverse only"},
		{40, 12, "; its limit of 40 A never limits: it never takes so much"}} {
		if got := limited(robot.Motor{StallCurrent: 20, Nominal: 12, Limit: c.limit}, c.open); got != c.want {
			t.Errorf("%g A at %g V: %q, want %q", c.limit, c.open, got, c.want)
		}
	}
}

// What is between two scores is told without the dust of a sum.
func TestQuartilesAreToldShortly(t *testing.T) {
	if got := fromTo(0.8, 3*0.8); got != "0.8 to 2.4" {
		t.Error(got)
	}
}
