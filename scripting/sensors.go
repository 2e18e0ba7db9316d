package scripting

import (
	"fmt"

	"chalkfield/sim/robot"

	lua "github.com/yuin/gopher-lua"
)

// openSensors builds bot.sense: the sensors under their names in the robot file.
func (h *Host) openSensors() (*lua.LUserData, error) {
	own := h.box.State().CreateTable(0, 8)
	var names []string
	for i, s := range h.machine.Sensors() {
		k, err := h.sensorClass(s)
		if err != nil {
			return nil, err
		}
		own.RawSetString(s.Name, h.newObject(k, "bot.sense."+s.Name, i, s))
		names = append(names, s.Name)
	}
	h.homes = append(h.homes, home{"bot.sense", names, false})
	return h.closed(own, "bot.sense", "bot.sense", names), nil
}

// sensorMethod is the method that a kind of sensor has beside read.
type sensorMethod struct {
	name string
	unit func(h *Host, s robot.Sensor) float64 // in which Lua has the reading; nil: a truth, 0 or 1

	reading string // what it is, in a line
}

var sensorMethods = map[robot.SensorKind]sensorMethod{
	robot.Encoder:  {"mm", lengthUnit, "travel, mm"},
	robot.Tracking: {"mm", lengthUnit, "travel, mm"},
	robot.Inertial: {"heading", headingUnit, "degrees counter-clockwise since the start"},
	robot.Distance: {"mm", lengthUnit, "mm to what it sees"},
	robot.Optical:  {"sees", nil, "whether a piece is before it (`read()`: 1 or 0)"},
	robot.Rotation: {"angle", positionUnit, "the lift's degrees (an elevator's mm)"},
	robot.Line:     {"share", plainUnit, "share of its spot that lines cover, 0 to 1"},
	robot.Mark:     {"count", plainUnit, "marks that it sees"},
	robot.Bumper:   {"pressed", nil, "whether it is pressed (`read()`: 1 or 0)"},
}

// moreSensorCalls are the calls that some kinds have beside these.
var moreSensorCalls = map[robot.SensorKind][]partCall{
	robot.Optical: {
		{"kind()", "the kind of the piece before it, nil for no piece",
			func(c call) int { kind, _ := c.pieceBefore(); return c.pushName(kind) }},
		{"side()", "the side of the piece before it, nil for no piece or neither's",
			func(c call) int { _, side := c.pieceBefore(); return c.pushName(side) }},
	},
	robot.Mark: markCalls,
}

// pieceBefore is what an optical sensor tells, if its file says that it does.
func (c call) pieceBefore() (kind, side string) {
	if !c.object.value.(robot.Sensor).Optical.Looks {
		c.fail(`this sensor tells only whether a piece is there: write tells = "piece" into its table [sensors.optical] ` +
			"of the robot file")
	}
	kind, side = c.host.machine.PieceBefore(c.object.index)
	return kind, c.host.env.twin(side)
}

// twin is what a routine calls a side.
func (e Env) twin(side string) string {
	switch side {
	case e.Twins[0]:
		return e.Twins[1]
	case e.Twins[1]:
		return e.Twins[0]
	}
	return side
}

// pushName pushes a name, nil for "".
func (c call) pushName(name string) int {
	if name == "" {
		c.Push(lua.LNil)
	} else {
		c.Push(lua.LString(name))
	}
	return 1
}

func plainUnit(*Host, robot.Sensor) float64 { return 1 }

func lengthUnit(*Host, robot.Sensor) float64 { return mm }

// headingUnit is degrees, the other way round in a mirrored frame.
func headingUnit(h *Host, _ robot.Sensor) float64 {
	if h.mirrored() {
		return -deg
	}
	return deg
}

func positionUnit(h *Host, s robot.Sensor) float64 { return liftUnit(h.parts[s.Rotation.On].Lift) }

func (h *Host) sensorClass(s robot.Sensor) (*class, error) {
	kind := string(s.Kind)
	if k := h.classes.sensors[kind]; k != nil {
		return k, nil
	}
	word, known := sensorMethods[s.Kind]
	if !known {
		return nil, fmt.Errorf("%s: the host knows no sensor of kind %q", s.Name, s.Kind)
	}
	methods := map[string]method{"read": readSensor, word.name: readSensor}
	if word.unit == nil {
		methods[word.name] = func(c call) int { return c.pushBool(c.reading() != 0) }
	}
	for _, more := range moreSensorCalls[s.Kind] {
		methods[more.name()] = more.method
	}
	h.classes.sensors[kind] = h.newClass(article(kind)+" sensor", methods, nil)
	return h.classes.sensors[kind], nil
}

func (c call) reading() float64 { return c.host.machine.Reading(c.object.index) }

func readSensor(c call) int {
	return c.pushNumber(c.host.sensed(c.object.index, c.object.value.(robot.Sensor)))
}

// sensed is a sensor's reading in a routine's units: mm, degrees, or 0 and 1.
func (h *Host) sensed(i int, s robot.Sensor) float64 {
	x := h.machine.Reading(i)
	if unit := sensorMethods[s.Kind].unit; unit != nil {
		x /= unit(h, s)
	}
	return x
}
