package desk

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/geom"
	"chalkfield/internal/record"
)

// Signal is a group of numbers of the record that share a chart.
type Signal struct {
	Key    string
	Title  string
	Unit   string
	Curves []Curve
}

// Curve is one number along time.
type Curve struct {
	Name string
	At   func(*record.RobotSample) float64
}

// Signals lists what can be charted of a robot.
func Signals(robot record.Robot) []Signal {
	list := append([]Signal(nil), driveSignals...)
	for i, part := range robot.Parts {
		list = append(list, partSignal(i, part))
	}
	for i, name := range robot.Sensors {
		list = append(list, Signal{Key: "sensor " + name, Title: name, Unit: "", Curves: []Curve{{name, func(s *record.RobotSample) float64 {
			return at(s.Sensors, i)
		}}}})
	}
	return list
}

// driveSignals are those that every robot has.
var driveSignals = []Signal{
	{"speed", "Speed along the heading", "mm/s", []Curve{
		{"wanted", func(s *record.RobotSample) float64 { return 1000 * s.Want[0] }},
		{"real", func(s *record.RobotSample) float64 { return 1000 * along(s) }},
	}},
	{"turning", "Turning rate", "deg/s", []Curve{
		{"wanted", func(s *record.RobotSample) float64 { return degrees(s.Want[1]) }},
		{"real", func(s *record.RobotSample) float64 { return degrees(s.Velocity[2]) }},
	}},
	{"heading error", "Heading error, belief less truth", "deg", []Curve{
		{"heading error", func(s *record.RobotSample) float64 { return degrees(geom.WrapAngle(s.Belief[2] - s.True[2])) }},
	}},
	{"belief error", "Belief error", "mm", []Curve{
		{"distance from the truth", func(s *record.RobotSample) float64 {
			return 1000 * math.Hypot(s.Belief[0]-s.True[0], s.Belief[1]-s.True[1])
		}},
	}},
	{"volts", "Drive volts", "V", leftRight(func(s *record.RobotSample) [2]float64 { return s.Volts }, 1)},
	{"amps", "Drive amps", "A", leftRight(func(s *record.RobotSample) [2]float64 { return s.Amps }, 1)},
	{"battery", "Battery", "V", []Curve{{"terminal", func(s *record.RobotSample) float64 { return s.Battery }}}},
	{"wheels", "Wheel speed", "mm/s", leftRight(func(s *record.RobotSample) [2]float64 { return s.Wheels }, 1000)},
	{"slip", "Wheel slip", "mm/s", []Curve{
		{"along", func(s *record.RobotSample) float64 { return 1000 * s.Slip[0] }},
		{"across", func(s *record.RobotSample) float64 { return 1000 * s.Slip[1] }},
	}},
	{"air", "Air", "kPa", []Curve{{"reservoir", func(s *record.RobotSample) float64 { return s.Air / 1000 }}}},
}

func leftRight(pair func(*record.RobotSample) [2]float64, scale float64) []Curve {
	return []Curve{
		{"left", func(s *record.RobotSample) float64 { return scale * pair(s)[0] }},
		{"right", func(s *record.RobotSample) float64 { return scale * pair(s)[1] }},
	}
}

func partSignal(i int, part record.Part) Signal {
	unit, scale := partUnit(part.Kind)
	return Signal{Key: "part " + part.Name, Title: fmt.Sprintf("%s (%s)", part.Name, part.Kind), Unit: unit, Curves: []Curve{
		{"state", func(s *record.RobotSample) float64 {
			if i >= len(s.Parts) {
				return math.NaN()
			}
			return scale * s.Parts[i].Value
		}},
		{"volts", func(s *record.RobotSample) float64 {
			if i >= len(s.Parts) {
				return math.NaN()
			}
			return s.Parts[i].Volts
		}},
	}}
}

// partUnit is the unit of a part's value and what brings the record's number to it.
func partUnit(kind string) (string, float64) {
	switch kind {
	case "intake":
		return "mm/s", 1000
	case "lift":
		return "rad or m", 1
	case "conveyor", "claw":
		return "held", 1
	case "clamp":
		return "1 shut", 1
	}
	return "", 1
}

func at(list []float64, i int) float64 {
	if i >= len(list) {
		return math.NaN()
	}
	return list[i]
}

// along is the speed along the heading, m/s.
func along(s *record.RobotSample) float64 {
	sin, cos := math.Sincos(s.True[2])
	return s.Velocity[0]*cos + s.Velocity[1]*sin
}

func degrees(rad float64) float64 { return rad * 180 / math.Pi }

type seriesKey struct {
	robot         int
	signal, curve string
}

// Series are a curve's values, one a sample, worked out once.
func (r *Run) Series(robot int, s Signal, c Curve) []float64 {
	key := seriesKey{robot, s.Key, c.Name}
	if values, ok := r.series[key]; ok {
		return values
	}
	values := make([]float64, len(r.Record.Samples))
	for i := range r.Record.Samples {
		values[i] = math.NaN()
		if robot < len(r.Record.Samples[i].Robots) {
			values[i] = c.At(&r.Record.Samples[i].Robots[robot])
		}
	}
	r.series[key] = values
	return values
}

// SignalNamed finds a signal of a robot by its key.
func SignalNamed(robot record.Robot, key string) (Signal, bool) {
	for _, s := range Signals(robot) {
		if s.Key == key {
			return s, true
		}
	}
	return Signal{}, false
}

// Shows reports whether a signal is among those shown.
func (d *Desk) Shows(key string) bool { return slices.Contains(d.Signals, key) }

// ToggleSignal shows a signal or takes it away.
func (d *Desk) ToggleSignal(key string) {
	for i, shown := range d.Signals {
		if shown == key {
			d.Signals = append(d.Signals[:i:i], d.Signals[i+1:]...)
			return
		}
	}
	d.Signals = append(d.Signals, key)
}
