package scripting

import (
	"fmt"

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
	return h.closed(own, "bot.sense", "bot.sense", names), nil
}

// sensorWord is the method that each kind of sensor has beside read, and whether it tells a truth.
var sensorWord = map[string]struct {
	name  string
	truth bool
}{
	"encoder": {"mm", false}, "tracking wheel": {"mm", false}, "distance": {"mm", false},
	"inertial": {"heading", false}, "rotation": {"angle", false},
	"optical": {"sees", true}, "bumper": {"pressed", true},
}

func (h *Host) sensorClass(s Sensor) (*class, error) {
	if k := h.classes.sensors[s.Kind]; k != nil {
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
	h.classes.sensors[s.Kind] = h.newClass(article(s.Kind)+" sensor", methods, nil)
	return h.classes.sensors[s.Kind], nil
}

func (c call) reading() float64 { return c.host.machine.Read(c.object.index) }

// readSensor gives the reading in Lua's units: mm, degrees, or 0 and 1.
func readSensor(c call) int {
	s, x := c.object.value.(Sensor), c.reading()
	switch s.Kind {
	case "encoder", "tracking wheel", "distance":
		x /= mm
	case "inertial":
		x /= deg
		if c.host.mirrored() {
			x = -x
		}
	case "rotation":
		if s.Linear {
			x /= mm
		} else {
			x /= deg
		}
	}
	return c.pushNumber(x)
}
