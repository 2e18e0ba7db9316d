package robotfile

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"chalkfield/internal/units"
)

// travel is a lift's position or a part of its way: an angle for an arm, a length for an elevator.
type travel struct {
	value  float64 // rad or m
	linear bool    // a length
}

func (t *travel) UnmarshalText(text []byte) error {
	var a units.Angle
	if a.UnmarshalText(text) == nil {
		*t = travel{float64(a), false}
		return nil
	}
	var l units.Length
	if l.UnmarshalText(text) == nil {
		*t = travel{float64(l), true}
		return nil
	}
	return fmt.Errorf("%q is neither an angle nor a length: write \"30 deg\" for an arm or \"200 mm\" for an elevator", text)
}

// Measure gives rad or m.
func (t *travel) Measure() (si float64, kind string) { return t.value, kindOf(t.linear) }

func kindOf(linear bool) string {
	if linear {
		return "elevator"
	}
	return "arm"
}

// push is a torque for an arm, a force for an elevator.
type push struct {
	value  float64 // N m or N
	linear bool    // a force
}

func (p *push) UnmarshalText(text []byte) error {
	var t units.Torque
	if t.UnmarshalText(text) == nil {
		*p = push{float64(t), false}
		return nil
	}
	var f units.Force
	if f.UnmarshalText(text) == nil {
		*p = push{float64(f), true}
		return nil
	}
	return fmt.Errorf("%q is neither a torque nor a force: write \"0.5 N m\" for an arm or \"4 N\" for an elevator", text)
}

// Measure gives N m or N.
func (p *push) Measure() (si float64, kind string) { return p.value, kindOf(p.linear) }

// The gains of a lift's closed loop, per rad or per m.
type (
	proportional struct{ travel } // V per rad or m
	integral     struct{ travel } // V per rad or m, per s
	derivative   struct{ travel } // V s per rad or m
)

func (g *proportional) UnmarshalText(text []byte) error { return g.gain(text, "V/deg", "V/mm") }
func (g *integral) UnmarshalText(text []byte) error     { return g.gain(text, "V/deg/s", "V/mm/s") }
func (g *derivative) UnmarshalText(text []byte) error   { return g.gain(text, "V s/deg", "V s/mm") }

// gain reads "number unit" with the unit for an arm or that for an elevator.
func (t *travel) gain(text []byte, arm, elevator string) error {
	number, unit, _ := strings.Cut(strings.TrimSpace(string(text)), " ")
	value, err := strconv.ParseFloat(number, 64)
	switch unit = strings.Join(strings.Fields(unit), " "); {
	case err != nil || math.IsNaN(value) || math.IsInf(value, 0):
	case unit == arm:
		*t = travel{value * 180 / math.Pi, false}
		return nil
	case unit == elevator:
		*t = travel{value * 1000, true}
		return nil
	}
	return fmt.Errorf("%q is not a gain: write \"0.4 %s\" for an arm or \"0.1 %s\" for an elevator", text, arm, elevator)
}
