package signals

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// three is a record of a robot that moves for a while, with two signals of its routine's own.
func three() *record.Record {
	r := &record.Record{Header: record.Header{Seed: 7, Robots: []record.Robot{{
		Routine: record.File{Name: "my\nown.lua"},
		Parts:   []record.Part{{Name: "roller", Kind: "intake"}}, Sensors: []string{"front"},
		Signals: []record.Signal{{Name: "battery terminal", Unit: "V"}, {Name: "battery", Unit: "V"}},
	}}}}
	for i := range 3 {
		r.Samples = append(r.Samples, record.Sample{T: 0.02 * float64(i), Robots: []record.RobotSample{{
			True: record.Pose{1, 2, 0}, Velocity: [3]float64{0.5, 0, 0}, Want: [2]float64{0.6, 0}, Battery: 12.25,
			Parts: []record.PartSample{{Volts: 11, Value: 0.25}}, Sensors: []float64{0.683},
		}}})
	}
	r.Samples[1].Robots[0].News = &record.News{Said: []record.Said{{Signal: 1, Value: -3.000001}}}
	r.Events = []record.Event{{T: 0.01, Kind: record.MotionStart, What: "ahead"}, {T: 0.03, Kind: record.MotionStart,
		What: "ahead", Robot: 1}, {T: 0.04, Kind: record.MotionEnd, What: "ahead"}}
	return r
}

// Every column has a header of its own, the simulator's the same whatever a routine calls its signals, and a value
// where there is one.
func TestTheTableHasAllSignals(t *testing.T) {
	rec := three()
	rec.Header.Robots = append(rec.Header.Robots, record.Robot{})
	var out strings.Builder
	if err := WriteTable(&out, units.Metric, rec, make([]*robot.Robot, 2)); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
	if len(lines) != 2+len(rec.Samples) || lines[0] != "# signals by Chalkfield: my own.lua, seed 7" {
		t.Fatalf("%d lines, the first %q", len(lines), lines[0])
	}
	header := strings.Split(lines[1], ", ")
	if sorted := slices.Sorted(slices.Values(header)); len(slices.Compact(sorted)) != len(header) {
		t.Errorf("a header stands twice: %q", header)
	}
	for name, want := range map[string][3]string{
		"time s": {"0.00", "0.02", "0.04"}, "speed wanted mm/s": {"", "600", ""}, "speed real mm/s": {"500", "500", "500"},
		"x real mm": {"1000", "1000", "1000"}, "battery V": {"12.25", "12.25", "12.25"},
		"battery terminal V": {"", "", ""}, "battery 2 V": {"", "-3.000001", "-3.000001"},
		"roller volts V": {"11", "11", "11"}, "robot 2 battery V": {"", "", ""},
	} {
		column := slices.Index(header, name)
		if column < 0 {
			t.Errorf("no column %q in %q", name, header)
			continue
		}
		for i := range rec.Samples {
			cells := strings.Split(lines[2+i], ", ")
			if len(cells) != len(header) || cells[column] != want[i] {
				t.Errorf("row %d: %s is %q, want %q (%d cells)", i, name, cells[column], want[i], len(cells))
			}
		}
	}
}

// In inches a length has another header and other numbers, what is electric the same, and where there was no value
// there is none. 1000 mm are 39.370079 in.
func TestTheTableIsInThePersonsUnits(t *testing.T) {
	var out strings.Builder
	if err := WriteTable(&out, units.Inch, three(), make([]*robot.Robot, 1)); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(out.String(), "\n")
	header, cells := strings.Split(lines[1], ", "), strings.Split(lines[2], ", ")
	for name, want := range map[string]string{"x real in": "39.370079", "speed real in/s": "19.685039",
		"speed wanted in/s": "", "battery V": "12.25", "heading real deg": "0"} {
		column := slices.Index(header, name)
		if column < 0 {
			t.Errorf("no column %q in %q", name, header)
		} else if cells[column] != want {
			t.Errorf("%s is %q, want %q", name, cells[column], want)
		}
	}
}

func TestOwnSignalsStandFirst(t *testing.T) {
	rec := three()
	list := Of(rec, 0, nil)
	if s := list[1]; s.Title != "battery" || s.Unit != "V" || s.Key != "own battery" {
		t.Errorf("the second signal is %+v", s)
	}
	values := Values(rec, 0, list[1].Curves[0])
	if !math.IsNaN(values[0]) || values[2] != -3.000001 {
		t.Errorf("its values are %v", values)
	}
	if got := Of(rec, 1, nil); got != nil {
		t.Errorf("a robot that is none has %d signals", len(got))
	}
}

// What an optical sensor tells is two signals, whose numbers stand for the kinds and sides of the record's pieces in
// their order.
func TestAPieceIsToldByItsKindAndItsSide(t *testing.T) {
	rec := three()
	rec.Header.Bodies = []record.Body{{Kind: "pear", Side: -1}, {Kind: "fig", Side: 1}, {Kind: "fig", Side: 0},
		{Kind: "basket", Goal: true, Side: 0}}
	rec.Sheet.Sides = []string{"rust", "fern"}
	rec.Header.Robots[0].Sensors = []string{"eye", "eye piece"}
	for i, look := range []float64{0, 2, 3} {
		rec.Samples[i].Robots[0].Sensors = []float64{min(1, look), look}
	}
	spec := &robot.Robot{Sensors: []robot.Sensor{{Name: "eye", Kind: robot.Optical,
		Optical: &robot.OpticalSensor{Looks: true}}}}
	want := map[string][]float64{"eye": {0, 1, 1}, "eye kind": {0, 2, 2}, "eye side": {0, 1, 2}}
	units := map[string]string{"eye": "1 yes, 0 no", "eye kind": "0 none, 1 pear, 2 fig",
		"eye side": "0 none, 1 fern, 2 rust"}
	for _, s := range Of(rec, 0, spec) {
		values, known := want[s.Column]
		if !known {
			continue
		}
		if got := Values(rec, 0, s.Curves[0]); !slices.Equal(got, values) || s.Unit != units[s.Column] {
			t.Errorf("%s is %v in %q, want %v", s.Column, got, s.Unit, values)
		}
		delete(want, s.Column)
	}
	if len(want) > 0 {
		t.Errorf("there is no signal for %v", want)
	}
}

// A mark's range and bearing have values while it is seen.
func TestAMarkThatIsNotSeenHasNoValue(t *testing.T) {
	rec := three()
	rec.Header.Robots[0].Sensors = []string{"camera", "camera north post range", "camera north post bearing"}
	for i, far := range []float64{0, 1.5, 0} {
		rec.Samples[i].Robots[0].Sensors = []float64{min(far, 1), far, far * math.Pi / 6}
	}
	want := map[string]string{"camera": "0 1 0", "camera north post range mm": "NaN 1500 NaN",
		"camera north post bearing deg": "NaN 45 NaN"}
	for _, s := range Of(rec, 0, &robot.Robot{Sensors: []robot.Sensor{{Name: "camera", Kind: robot.Mark}}}) {
		values := Values(rec, 0, s.Curves[0])
		name := strings.TrimSpace(s.Column + " " + s.Unit)
		if words, is := want[name]; is && fmt.Sprintf("%.6g %.6g %.6g", values[0], values[1], values[2]) != words {
			t.Errorf("%s is %v, want %s", name, values, words)
		}
		delete(want, name)
	}
	if len(want) > 0 {
		t.Errorf("there is no signal for %v", want)
	}
}
