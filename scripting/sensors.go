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

// sensorWord is the method that each kind of sensor has beside read, and whether it tells a truth.
var sensorWord = map[robot.SensorKind]struct {
	name  string
	truth bool
}{
	robot.Encoder: {"mm", false}, robot.Tracking: {"mm", false}, robot.Distance: {"mm", false},
	robot.Inertial: {"heading", false}, robot.Rotation: {"angle", false},
	robot.Optical: {"sees", true}, robot.Bumper: {"pressed", true},
}

func (h *Host) sensorClass(s robot.Sensor) (*class, error) {
	kind := string(s.Kind)
	if k := h.classes.sensors[kind]; k != nil {
		return k, nil
	}
	word, known := sensorWord[s.Kind]
	if !known {
		return nil, fmt.Errorf("%s: the host knows no sensor of kind %q", s.Name, s.Kind)
	}
	methods := map[string]method{"read": readSensor, word.name: readSensor}
	if word.truth {
		methods[word.name] = func(c call) int { return c.pushBool(c.reading() != 0) }
	}
	h.classes.sensors[kind] = h.newClass(article(kind)+" sensor", methods, nil)
	return h.classes.sensors[kind], nil
}

func (c call) reading() float64 { return c.host.machine.Reading(c.object.index) }

// readSensor gives the reading in Lua's units: mm, degrees, or 0 and 1.
func readSensor(c call) int {
	s, x := c.object.value.(robot.Sensor), c.reading()
	switch s.Kind {
	case robot.Encoder, robot.Tracking, robot.Distance:
		x /= mm
	case robot.Inertial:
		x /= deg
		if c.host.mirrored() {
			x = -x
		}
	case robot.Rotation:
		x /= liftUnit(c.host.parts[s.Rotation.On].Lift)
	}
	return c.pushNumber(x)
}
