package viewmodel

import (
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/units"
)

func TestConditionsAreRead(t *testing.T) {
	d, _ := opened(t)
	signals := append([]Signal{{Key: "own turn error", Title: "turn error", Column: "turn error", Unit: "deg",
		Curves: []Curve{{Name: "turn error", Own: 1}}}, {Key: "own half", Title: "half", Column: "half",
		Curves: []Curve{{Name: "half"}}}},
		d.Now.Signals(0)...)
	for text, want := range map[string]string{
		"battery < 10 V":                     "battery < 10 V",
		"when the batery is below 10":        `there is no signal "batery"`,
		"Battery is below 10":                "battery < 10 V",
		"when the battery is below 9.5V":     "battery < 9.5 V",
		"belief error passes 5 cm":           "belief error > 5 cm",
		"speed real >= 1 m/s":                "speed real >= 1 m/s",
		"volts left<-3 V":                    "volts left < -3 V",
		"turn error > 0.1 rad":               "turn error > 0.1 rad",
		"half > .5":                          "half > .5",
		"half > 3 V":                         `this signal has no unit, not "V": write half > 10`,
		"batery < 10 V":                      `there is no signal "batery": write "battery"`,
		"battery < ten":                      `"ten" is no number: write battery < 10 V`,
		"battery < 10 mm":                    `this signal is in V, not in "mm": write battery < 10 V`,
		"battery < 1e999 V":                  "is no number",
		"battery":                            "write a signal, a sign and a value with its unit",
		"":                                   "write a signal",
		"< 3":                                "write a signal",
		"battery <":                          "is no number",
		strings.Repeat("x", 9000) + " < 3 V": "there is no signal",
	} {
		c, err := ReadCondition(units.Metric, text, signals)
		got := ""
		if err != nil {
			got = err.Error()
		} else {
			got = c.String()
		}
		if !strings.Contains(got, want) || err == nil && got != want {
			t.Errorf("%.40q is %q, want %q", text, got, want)
		}
	}
	c, _ := ReadCondition(units.Metric, "belief error > 5 cm", signals)
	if c.Value < 49.999 || c.Value > 50.001 || c.Unit != "mm" {
		t.Errorf("5 cm are %g %s", c.Value, c.Unit)
	}
}

// playing plays until it pauses.
func playing(d *Model) float64 {
	d.Playing = true
	for d.Playing {
		d.Advance(1.0 / 60)
	}
	return d.Time
}

// Playing pauses at each stop on the way, and goes on from there.
func TestPlayingPausesAtStops(t *testing.T) {
	d, _ := observed(t, watchedText)
	d.GoTo(0)
	d.ToggleStop(13)
	for _, text := range []string{"x > 700 mm", "line 15"} {
		if err := d.AddStop(text); err != nil {
			t.Fatal(err)
		}
	}
	if err := d.AddStop("line 999"); err == nil || !strings.Contains(err.Error(), "there is no line 999") {
		t.Error(err)
	}
	times := []float64{playing(d), playing(d), playing(d)}
	if !slices.Equal(times, []float64{0.2, 0.4, 0.6}) ||
		!strings.Contains(d.Notice.Text, "line 15, bot.drive:ahead(300)") {
		t.Errorf("paused at %v: %s", times, d.Notice.Text)
	}
	passes := playing(d)
	signal, _ := d.Now.SignalNamed(0, "x")
	i := d.Now.Index.At(passes + 1e-9)
	if v := d.Now.Series(0, signal, signal.Curves[0]); v[i] <= 700 || v[i-1] > 700 {
		t.Errorf("paused at %g s, where x is %g and was %g", passes, v[i], v[i-1])
	}
	if end := playing(d); end != d.End {
		t.Errorf("paused at %g s, want the end %g", end, d.End)
	}
	d.GoTo(0)
	d.SwitchStop(0)
	if at := playing(d); at != 0.6 {
		t.Errorf("with the first off paused at %g s, want 0.6", at)
	}
}

// A variable that is drawn as a curve is a signal like any other.
func TestStopAtAVariable(t *testing.T) {
	d, _ := observed(t, watchedText)
	d.GoTo(0.25)
	if err := d.AddStop("count > 5"); err == nil {
		t.Error("there is a signal of that name before it is drawn")
	}
	d.ToggleSignal(variableCalled(t, d, "count").Path)
	if err := d.AddStop("count > 5"); err != nil {
		t.Fatal(err)
	}
	if d.GoTo(0); playing(d) != 0.4 {
		t.Errorf("paused at %g s, want 0.4: %+v", d.Time, d.Stops)
	}
}

// Stops belong to a routine, and keep to their lines.
func TestStopsAreRemembered(t *testing.T) {
	d, disk := observed(t, watchedText)
	d.ToggleStop(13)
	if err := d.AddStop("battery < 10 V"); err != nil {
		t.Fatal(err)
	}
	disk.routine = "-- before\n" + watchedText
	d.Reload()
	finish(t, d)
	if _, at := d.StopAt(14); !at || len(d.Stops) != 2 {
		t.Errorf("%+v, want one at line 14", d.Stops)
	}
	for i, want := range []string{"not known yet", "never"} {
		if words := d.StopWords(i); words != want {
			t.Errorf("stop %d is %q, want %q", i, words, want)
		}
	}
	d.ToggleStop(14)
	if len(d.Stops) != 1 {
		t.Errorf("%+v", d.Stops)
	}
	own := d.Text
	d.Text = SourceOf("other.lua", "", text(200))
	if d.carryLines(); len(d.Stops) != 0 {
		t.Errorf("another routine has %+v", d.Stops)
	}
	d.Text = own
	if d.carryLines(); len(d.Stops) != 1 {
		t.Error("the first has none any more")
	}
	for range 2 * mostStops {
		_ = d.AddStop("battery < 10 V")
	}
	if len(d.Stops) != mostStops {
		t.Errorf("%d stops", len(d.Stops))
	}
}
