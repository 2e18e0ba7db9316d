// Package signals lists the numbers of a record over time, those of the simulator and a routine's own, for charts and
// tables.
package signals

import (
	"math"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/render/scene"
	"chalkfield/sim/robot"
)

// Signal is a group of numbers of the record that share a chart. It has one unit: what is told in two is two signals.
type Signal struct {
	Key    string
	Title  string
	Column string // its name in a table; "": the key
	Unit   string
	Curves []Curve
}

// Curve is one number along time.
type Curve struct {
	Name   string
	At     func(*record.RobotSample) float64
	Wanted bool // a motion's: where none is under way there is no value
	Own    int  // of the routine's own signals, from 1; 0: none of them
}

// Of lists the signals of a robot, its routine's own first; spec is its file, nil where that is not at hand.
func Of(rec *record.Record, index int, spec *robot.Robot) []Signal {
	if index >= len(rec.Header.Robots) {
		return nil
	}
	header := &rec.Header.Robots[index]
	list := own(header)
	list = append(list, drive...)
	for i, part := range header.Parts {
		list = append(list, ofPart(part, i, spec)...)
	}
	for i, name := range header.Sensors {
		list = append(list, ofSensor(rec, spec, i, name)...)
	}
	return list
}

// ofSensor are those of a number that the record has of a sensor: one, or the kind and the side of a piece.
func ofSensor(rec *record.Record, spec *robot.Robot, i int, name string) []Signal {
	m, beside := scene.Told(name)
	if !beside {
		m = scene.SensorValue(spec, i)
	}
	signal := func(name, unit string, of func(float64) float64) Signal {
		return Signal{Key: "sensor " + name, Title: name, Column: name, Unit: unit,
			Curves: []Curve{{Name: name, At: func(s *record.RobotSample) float64 { return of(m.Scale * at(s.Sensors, i)) }}}}
	}
	switch {
	case beside && m.Says == nil:
		return []Signal{ofMark(name, m, i)}
	case !beside:
		return []Signal{signal(name, m.Unit, func(v float64) float64 { return v })}
	}
	name = strings.TrimSuffix(name, robot.OfPiece)
	kind, kinds := scene.Sorts(rec, false)
	list := []Signal{signal(name+" kind", kinds, kind)}
	if side, sides := scene.Sorts(rec, true); strings.Contains(sides, ",") { // else no piece is anyone's
		list = append(list, signal(name+" side", sides, side))
	}
	return list
}

// ofMark is a mark's range or bearing, which there is while the sensor sees it: while its range is above 0.
func ofMark(name string, m scene.Value, i int) Signal {
	far := i
	if strings.HasSuffix(name, robot.OfBearing) {
		far--
	}
	return Signal{Key: "sensor " + name, Title: name, Column: name, Unit: m.Unit,
		Curves: []Curve{{Name: name, At: func(s *record.RobotSample) float64 {
			if !(at(s.Sensors, far) > 0) {
				return math.NaN()
			}
			return m.Scale * at(s.Sensors, i)
		}}}}
}

// own are those that the routine records by signal().
func own(header *record.Robot) []Signal {
	var list []Signal
	for i, s := range header.Signals {
		list = append(list, Signal{Key: "own " + s.Name, Title: s.Name, Column: s.Name, Unit: s.Unit,
			Curves: []Curve{{Name: s.Name, Own: i + 1}}})
	}
	return list
}

// drive are those that every robot has.
var drive = []Signal{
	{Key: "speed", Title: "Speed along the heading", Unit: "mm/s", Curves: []Curve{
		{Name: "wanted", Wanted: true, At: func(s *record.RobotSample) float64 { return 1000 * s.Want[0] }},
		{Name: "real", At: func(s *record.RobotSample) float64 { return 1000 * Along(s) }},
	}},
	{Key: "turning", Title: "Turning rate", Unit: "deg/s", Curves: []Curve{
		{Name: "wanted", Wanted: true, At: func(s *record.RobotSample) float64 { return geom.Degrees(s.Want[1]) }},
		{Name: "real", At: func(s *record.RobotSample) float64 { return geom.Degrees(s.Velocity[2]) }},
	}},
	{Key: "x", Title: "Place: x", Unit: "mm", Curves: poseCurves(0, 1000)},
	{Key: "y", Title: "Place: y", Unit: "mm", Curves: poseCurves(1, 1000)},
	{Key: "heading", Title: "Heading", Unit: "deg", Curves: poseCurves(2, 180/math.Pi)},
	{Key: "heading error", Title: "Heading error, belief less truth", Unit: "deg", Curves: []Curve{
		{Name: "heading error",
			At: func(s *record.RobotSample) float64 { return geom.Degrees(geom.WrapAngle(s.Belief[2] - s.True[2])) }},
	}},
	{Key: "belief error", Title: "Belief error", Unit: "mm", Curves: []Curve{
		{Name: "distance from the truth", At: func(s *record.RobotSample) float64 {
			return 1000 * math.Hypot(s.Belief[0]-s.True[0], s.Belief[1]-s.True[1])
		}},
	}},
	{Key: "volts", Title: "Drive volts", Unit: "V",
		Curves: leftRight(func(s *record.RobotSample) [2]float64 { return s.Volts }, 1)},
	{Key: "amps", Title: "Drive amps", Unit: "A",
		Curves: leftRight(func(s *record.RobotSample) [2]float64 { return s.Amps }, 1)},
	{Key: "battery", Title: "Battery", Unit: "V",
		Curves: []Curve{{Name: "terminal", At: func(s *record.RobotSample) float64 { return s.Battery }}}},
	{Key: "wheels", Title: "Wheel speed", Unit: "mm/s",
		Curves: leftRight(func(s *record.RobotSample) [2]float64 { return s.Wheels }, 1000)},
	{Key: "slip", Title: "Wheel slip", Unit: "mm/s", Curves: []Curve{
		{Name: "along", At: func(s *record.RobotSample) float64 { return 1000 * s.Slip[0] }},
		{Name: "across", At: func(s *record.RobotSample) float64 { return 1000 * s.Slip[1] }},
	}},
	{Key: "air", Title: "Air", Unit: "kPa",
		Curves: []Curve{{Name: "reservoir", At: func(s *record.RobotSample) float64 { return s.Air / 1000 }}}},
}

// poseCurves are where the robot is and where it believes to be.
func poseCurves(member int, scale float64) []Curve {
	return []Curve{
		{Name: "real", At: func(s *record.RobotSample) float64 { return scale * s.True[member] }},
		{Name: "believed", At: func(s *record.RobotSample) float64 { return scale * s.Belief[member] }},
	}
}

func leftRight(pair func(*record.RobotSample) [2]float64, scale float64) []Curve {
	return []Curve{
		{Name: "left", At: func(s *record.RobotSample) float64 { return scale * pair(s)[0] }},
		{Name: "right", At: func(s *record.RobotSample) float64 { return scale * pair(s)[1] }},
	}
}

// ofPart are a mechanism's state and, if it has a motor, the motor's volts.
func ofPart(part record.Part, i int, spec *robot.Robot) []Signal {
	var file *robot.Part
	if spec != nil && i < len(spec.Parts) {
		file = &spec.Parts[i]
	}
	kind := robot.Kind(part.Kind)
	m := scene.PartValue(kind, file)
	list := []Signal{{Key: "part " + part.Name, Title: part.Name + ": " + m.Name, Column: part.Name + " " + m.Name,
		Unit: m.Unit, Curves: []Curve{
			{Name: m.Name, At: func(s *record.RobotSample) float64 { return m.Scale * sampleOf(s, i).Value }},
		}}}
	if kind.HasMotor() {
		list = append(list, Signal{Key: "volts " + part.Name, Title: part.Name + ": volts", Column: part.Name + " volts",
			Unit: "V", Curves: []Curve{
				{Name: "volts", At: func(s *record.RobotSample) float64 { return sampleOf(s, i).Volts }},
			}})
	}
	return list
}

func sampleOf(s *record.RobotSample, i int) record.PartSample {
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

// Along is the speed along the heading, m/s.
func Along(s *record.RobotSample) float64 {
	sin, cos := math.Sincos(s.True[2])
	return s.Velocity[0]*cos + s.Velocity[1]*sin
}

// Values are a curve's, one a sample, NaN where there is none.
func Values(rec *record.Record, robot int, c Curve) []float64 {
	if c.Own > 0 {
		return rec.SignalValues(robot, c.Own-1)
	}
	values := make([]float64, len(rec.Samples))
	var moves []bool
	if c.Wanted {
		moves = moving(rec, robot)
	}
	for i := range rec.Samples {
		values[i] = math.NaN()
		if robot < len(rec.Samples[i].Robots) && (!c.Wanted || moves[i]) {
			values[i] = c.At(&rec.Samples[i].Robots[robot])
		}
	}
	return values
}

// moving tells of each sample whether a motion of the robot's drive is under way.
func moving(rec *record.Record, robot int) []bool {
	const slack = 1e-9 // s
	moves := make([]bool, len(rec.Samples))
	next, open := 0, 0
	for i := range rec.Samples {
		for ; next < len(rec.Events) && rec.Events[next].T <= rec.Samples[i].T+slack; next++ {
			switch e := &rec.Events[next]; {
			case e.Robot != robot:
			case e.Kind == record.MotionStart:
				open++
			case e.Kind == record.MotionEnd:
				open = max(open-1, 0)
			}
		}
		moves[i] = open > 0
	}
	return moves
}
