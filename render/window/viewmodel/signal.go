package viewmodel

import (
	"slices"

	"chalkfield/render/signals"
)

// Signal and Curve are what is charted.
type (
	Signal = signals.Signal
	Curve  = signals.Curve
)

// Signals lists what can be charted of a robot.
func (r *Run) Signals(robot int) []Signal { return signals.Of(r.Record, robot, r.Spec(robot)) }

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
	values := []float64(nil)
	if place, is := variableOf(s.Key); is {
		values = r.variableSeries(robot, place)
	} else {
		values = signals.Values(r.Record, robot, c)
	}
	r.series[key] = values
	return values
}

// SignalNamed finds a signal of a robot, or a variable of its routine, by its key.
func (r *Run) SignalNamed(robot int, key string) (Signal, bool) {
	if place, is := variableOf(key); is {
		return place.signal(), true
	}
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
