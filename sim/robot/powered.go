package robot

import (
	"math"
	"reflect"
	"slices"
)

// Powered is a motor behind a gear, as intake, conveyor and lift have it.
type Powered struct {
	Motor      int     `toml:"motor" refer:"motor of this file"`       // left out: the first
	Count      int     `toml:"count" default:"1" min:"1" max:"8"`      // motors
	Gear       float64 `toml:"gear" default:"1" min:"0.02" max:"2000"` // motor turns per output turn
	Efficiency float64 `toml:"efficiency" default:"0.85" min:"0.1" max:"1"`
	// at the output
	Inertia float64 `toml:"inertia" unit:"kg m^2" default:"1 kg cm^2" min:"0.001 kg cm^2" max:"10 kg m^2"`
	// at 0 V the motors are open, not shorted
	Coasts bool `toml:"rest" default:"brake" words:"way to rest at 0 V: brake, coast"`
}

// HasMotor reports whether a mechanism of a kind has a motor, and so takes volts.
func (k Kind) HasMotor() bool {
	return slices.ContainsFunc(mechanisms, func(m reflect.StructField) bool {
		_, powered := m.Type.Elem().FieldByName("Powered")
		return powered && m.Tag.Get("toml") == string(k)
	})
}

// motor completes the index of a kind of motor: left out, it is the first.
func (r *reader) motor(path string, i *int) {
	if !r.at.Has(path) {
		*i = 0
	}
}

// fastest is the free speed at the output in rad/s.
func (r *reader) fastest(p Powered) float64 {
	if p.Motor < 0 {
		return math.Inf(1)
	}
	return r.out.Motors[p.Motor].FreeSpeed / p.Gear
}
