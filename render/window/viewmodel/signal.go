package viewmodel

import (
	"math"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
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
	Name   string
	At     func(*record.RobotSample) float64
	Wanted bool // a motion's: where none is under way there is no value
}

// Signals lists what can be charted of a robot. A signal has one unit: what is told in two is two signals.
func (r *Run) Signals(robot int) []Signal {
	if robot >= len(r.Record.Header.Robots) {
		return nil
	}
	list := append([]Signal(nil), driveSignals...)
	for i := range r.Record.Header.Robots[robot].Parts {
		list = append(list, r.partSignals(robot, i)...)
	}
	for i, name := range r.Record.Header.Robots[robot].Sensors {
		m := r.SensorQuantity(robot, i)
		list = append(list, Signal{Key: "sensor " + name, Title: name, Unit: m.Unit,
			Curves: []Curve{{Name: name, At: func(s *record.RobotSample) float64 { return m.Scale * at(s.Sensors, i) }}}})
	}
	return list
}

// driveSignals are those that every robot has.
var driveSignals = []Signal{
	{"speed", "Speed along the heading", "mm/s", []Curve{
		{Name: "wanted", Wanted: true, At: func(s *record.RobotSample) float64 { return 1000 * s.Want[0] }},
		{Name: "real", At: func(s *record.RobotSample) float64 { return 1000 * along(s) }},
	}},
	{"turning", "Turning rate", "deg/s", []Curve{
		{Name: "wanted", Wanted: true, At: func(s *record.RobotSample) float64 { return degrees(s.Want[1]) }},
		{Name: "real", At: func(s *record.RobotSample) float64 { return degrees(s.Velocity[2]) }},
	}},
	{"heading error", "Heading error, belief less truth", "deg", []Curve{
		{Name: "heading error",
			At: func(s *record.RobotSample) float64 { return degrees(geom.WrapAngle(s.Belief[2] - s.True[2])) }},
	}},
	{"belief error", "Belief error", "mm", []Curve{
		{Name: "distance from the truth", At: func(s *record.RobotSample) float64 {
			return 1000 * math.Hypot(s.Belief[0]-s.True[0], s.Belief[1]-s.True[1])
		}},
	}},
	{"volts", "Drive volts", "V", leftRight(func(s *record.RobotSample) [2]float64 { return s.Volts }, 1)},
	{"amps", "Drive amps", "A", leftRight(func(s *record.RobotSample) [2]float64 { return s.Amps }, 1)},
	{"battery", "Battery", "V", []Curve{{Name: "terminal", At: func(s *record.RobotSample) float64 { return s.Battery }}}},
	{"wheels", "Wheel speed", "mm/s", leftRight(func(s *record.RobotSample) [2]float64 { return s.Wheels }, 1000)},
	{"slip", "Wheel slip", "mm/s", []Curve{
		{Name: "along", At: func(s *record.RobotSample) float64 { return 1000 * s.Slip[0] }},
		{Name: "across", At: func(s *record.RobotSample) float64 { return 1000 * s.Slip[1] }},
	}},
	{"air", "Air", "kPa", []Curve{{Name: "reservoir", At: func(s *record.RobotSample) float64 { return s.Air / 1000 }}}},
}

func leftRight(pair func(*record.RobotSample) [2]float64, scale float64) []Curve {
	return []Curve{
		{Name: "left", At: func(s *record.RobotSample) float64 { return scale * pair(s)[0] }},
		{Name: "right", At: func(s *record.RobotSample) float64 { return scale * pair(s)[1] }},
	}
}

// partSignals are a mechanism's state and, if it has a motor, the motor's volts.
func (r *Run) partSignals(robot, i int) []Signal {
	part, m := r.Record.Header.Robots[robot].Parts[i], r.PartQuantity(robot, i)
	list := []Signal{{Key: "part " + part.Name, Title: part.Name + ": " + m.Name, Unit: m.Unit, Curves: []Curve{
		{Name: m.Name, At: func(s *record.RobotSample) float64 { return m.Scale * ofPart(s, i).Value }},
	}}}
	if powered(part) {
		list = append(list, Signal{Key: "volts " + part.Name, Title: part.Name + ": volts", Unit: "V", Curves: []Curve{
			{Name: "volts", At: func(s *record.RobotSample) float64 { return ofPart(s, i).Volts }},
		}})
	}
	return list
}

func ofPart(s *record.RobotSample, i int) record.PartSample {
	if i >= len(s.Parts) {
		return record.PartSample{Volts: math.NaN(), Value: math.NaN()}
	}
	return s.Parts[i]
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
	var moving []bool
	if c.Wanted {
		moving = r.moving(robot)
	}
	for i := range r.Record.Samples {
		values[i] = math.NaN()
		if robot < len(r.Record.Samples[i].Robots) {
			values[i] = c.At(&r.Record.Samples[i].Robots[robot])
		}
		if c.Wanted && !moving[i] {
			values[i] = math.NaN()
		}
	}
	r.series[key] = values
	return values
}

// SignalNamed finds a signal of a robot by its key.
func (r *Run) SignalNamed(robot int, key string) (Signal, bool) {
	for _, s := range r.Signals(robot) {
		if s.Key == key {
			return s, true
		}
	}
	return Signal{}, false
}

// Shows reports whether a signal is among those shown.
func (d *Model) Shows(key string) bool { return slices.Contains(d.Signals, key) }

// ToggleSignal shows a signal or takes it away.
func (d *Model) ToggleSignal(key string) {
	if i := slices.Index(d.Signals, key); i >= 0 {
		d.Signals = append(d.Signals[:i:i], d.Signals[i+1:]...)
	} else {
		d.Signals = append(d.Signals, key)
	}
}
