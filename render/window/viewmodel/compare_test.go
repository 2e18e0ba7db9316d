package viewmodel

import (
	"math"
	"testing"

	"chalkfield/internal/base/record"
)

func TestTheDifferenceTellsOfBothSides(t *testing.T) {
	run := func(ochre, teal float64) *Run {
		rec := &record.Record{Header: record.Header{Robots: []record.Robot{{}}}}
		rec.Sheet = record.Sheet{Sides: []string{"ochre", "teal"}, Total: []float64{ochre, teal}}
		return &Run{Record: rec}
	}
	for _, c := range []struct {
		now, before *Run
		want        string
	}{
		{run(0, 3), run(15, 0), "ochre -15 points, teal +3 points"},
		{run(4, 3), run(4, 0), "teal +3 points"},
		{run(5, 0), run(4, 0), "ochre +1 point"},
		{run(4, 3), run(4, 3), "same score"},
	} {
		d, ok := Compare(c.now, c.before)
		if !ok || !math.IsNaN(d.Ended) || d.String() != c.want {
			t.Errorf("%q, want %q", d, c.want)
		}
	}
}

func TestAnotherRobotOrFieldIsTold(t *testing.T) {
	d, _ := opened(t)
	builtIn := d.Now
	own := *builtIn.Record
	own.Header.Robots = []record.Robot{{File: record.File{Name: "robot.toml", Title: "Hauler", SHA256: "1"}}}
	own.Header.Field = record.File{Name: "field.toml", Title: "Core Haul", SHA256: "2"}
	mine := &Run{Record: &own}
	for _, c := range []struct {
		now, before *Run
		want        string
	}{
		{builtIn, mine, "The robot is now the built-in Hauler, not robot.toml. The field is now the built-in Core Haul, " +
			"not field.toml. "},
		{mine, builtIn, "The robot is now robot.toml, not hauler.toml. The field is now field.toml, not core_haul.toml. "},
		{mine, mine, ""},
	} {
		if got := Exchanged(c.now, c.before); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func TestRobotsOfOneTitleAreToldApart(t *testing.T) {
	d, _ := opened(t)
	if got := d.RobotWords(0); got != "your Hauler (ochre)" {
		t.Errorf("alone: %q", got)
	}
	rec := *d.Now.Record
	one := rec.Header.Robots[0]
	two, three := one, one
	three.Side = 1
	rec.Header.Robots = []record.Robot{one, two, three}
	d.Now = &Run{Setup: d.Now.Setup, Record: &rec}
	for i, want := range []string{"robot 1, your Hauler (ochre)", "robot 2, your partner's Hauler (ochre)",
		"robot 3, an opponent's Hauler (teal)"} {
		if got := d.RobotWords(i); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := d.RobotName(2); got != "Hauler 3, teal" {
		t.Errorf("short: %q", got)
	}
}

func TestAFileOfBlanksIsEmpty(t *testing.T) {
	for text, want := range map[string]bool{"": true, "\n \n": true, "x": false} {
		if got := SourceOf("a.lua", "a.lua", text).Blank(); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
	if (Source{}).Blank() {
		t.Error("no file is not an empty one")
	}
}
