package viewmodel

import (
	"math"
	"strings"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

func TestEverySignalHasOneUnit(t *testing.T) {
	d, _ := opened(t)
	units := map[string]string{}
	for _, s := range d.Now.Signals(0) {
		units[s.Title] = s.Unit
		if strings.Contains(s.Unit, " or ") {
			t.Errorf("%s has the unit %q", s.Title, s.Unit)
		}
	}
	for title, unit := range map[string]string{
		"lift: angle": "deg", "lift: volts": "V", "intake: roller speed": "mm/s", "intake: volts": "V", "front": "mm",
		"right_encoder": "mm",
		"inertial":      "deg", "lift_angle": "deg", "chute": "1 yes, 0 no",
	} {
		if got, ok := units[title]; !ok || got != unit {
			t.Errorf("%s has the unit %q, want %q (there are %v)", title, got, unit, units)
		}
	}
	for title := range units {
		if title == "clamp: volts" || title == "claw: volts" {
			t.Errorf("%s: there is no motor", title)
		}
	}
}

func TestValuesAreTheRecordsInTheirUnit(t *testing.T) {
	d, _ := opened(t)
	run, last := d.Now, len(d.Now.Record.Samples)-1
	state := run.Record.Samples[last].Robots[0]
	for i, name := range run.Record.Header.Robots[0].Sensors {
		s, ok := run.SignalNamed(0, "sensor "+name)
		scale := map[string]float64{"mm": 1000, "deg": 180 / math.Pi, "1 yes, 0 no": 1}[s.Unit]
		if got := run.Series(0, s, s.Curves[0])[last]; !ok || math.Abs(got-scale*state.Sensors[i]) > 1e-9 {
			t.Errorf("%s: %g %s for %g", name, got, s.Unit, state.Sensors[i])
		}
	}
	lengths, angles, truths := Quantity{Unit: "mm", Scale: 1000}, Quantity{Unit: "deg", Scale: geom.Degrees(1)},
		Quantity{Scale: 1, Truth: true}
	for _, c := range []struct {
		q    Quantity
		v    float64
		want string
	}{
		{lengths, 1.33, "1330 mm"}, {angles, 0.4765, "27.3 deg"}, {angles, -0.0001, "0.0 deg"}, {lengths, -0.0001, "0 mm"},
		{truths, 1, "yes"}, {truths, 0, "no"},
		{Quantity{Scale: 1}, 2, "2"},
	} {
		if got := c.q.Words(units.Metric, c.v); got != c.want {
			t.Errorf("%g: %q, want %q", c.v, got, c.want)
		}
	}
}

// A record whose robot file is not at hand says so instead of naming a wrong unit.
func TestWithoutTheRobotFileNoUnitIsInvented(t *testing.T) {
	d, _ := opened(t)
	run := *d.Now
	run.Setup.Entrants = nil
	if s, ok := run.SignalNamed(0, "part lift"); !ok || s.Unit != "rad or m" {
		t.Errorf("lift: %+v", s)
	}
}

func TestNothingIsWantedOutsideAMotion(t *testing.T) {
	d, _ := opened(t)
	s, _ := d.Now.SignalNamed(0, "speed")
	values := d.Now.Series(0, s, s.Curves[0])
	motions := d.Now.Lanes[0][0].Motions
	if len(motions) == 0 {
		t.Fatal("no motion")
	}
	var within, outside int
	for i, sample := range d.Now.Record.Samples {
		moves := sample.T >= motions[0].From && sample.T < motions[0].To
		switch {
		case moves && math.IsNaN(values[i]):
			t.Fatalf("nothing wanted at %g s, within the motion", sample.T)
		case moves:
			within++
		case !math.IsNaN(values[i]):
			t.Fatalf("%g wanted at %g s, outside every motion", values[i], sample.T)
		default:
			outside++
		}
	}
	if within == 0 || outside == 0 {
		t.Errorf("%d samples within, %d outside", within, outside)
	}
}

// A robot that replays a record has no motions: no curve pretends that it wanted to stand.
func TestAReplayWantsNothing(t *testing.T) {
	d, _ := opened(t)
	run := NewRun(d.Now.Setup, &record.Record{Header: d.Now.Record.Header, Samples: d.Now.Record.Samples}, Source{})
	s, _ := run.SignalNamed(0, "turning")
	for _, v := range run.Series(0, s, s.Curves[0]) {
		if !math.IsNaN(v) {
			t.Fatalf("wanted %g", v)
		}
	}
}

func TestFixedHasNoNegativeZero(t *testing.T) {
	for _, c := range []struct {
		v        float64
		decimals int
		want     string
	}{{-0.4, 0, "0"}, {-0.04, 1, "0.0"}, {-0.6, 0, "-1"}, {12.34, 1, "12.3"}} {
		if got := Fixed(c.v, c.decimals); got != c.want {
			t.Errorf("%g: %q, want %q", c.v, got, c.want)
		}
	}
	if got := fromRobot(units.Metric, geom.Pose{Heading: 0.0001}, geom.Vec{X: 1}).Value; got != "1000 mm, turn +0.0 deg" {
		t.Errorf("from the robot: %q", got)
	}
}

// What a routine records by signal() is charted as the simulator's own are, and first among them.
func TestARoutinesOwnSignalsAreCharted(t *testing.T) {
	d, disk := opened(t)
	disk.routine = strings.Replace(text(300), "auto = function(bot)", `auto = function(bot) signal("of i", 0.5, "V")`, 1)
	d.Reload()
	finish(t, d)
	s := d.Now.Signals(0)[0]
	if s.Title != "of i" || s.Unit != "V" || len(s.Curves) != 1 {
		t.Fatalf("the first signal is %+v", s)
	}
	values := d.Now.Series(0, s, s.Curves[0])
	if last := len(values) - 1; values[last] != 0.5 || last != len(d.Now.Record.Samples)-1 {
		t.Errorf("%d values, the last %g", len(values), values[last])
	}
	if real, _ := d.Now.RealSeries(0, s, s.Curves[0]); real != nil {
		t.Error("a log has the signal")
	}
}
