package fit

import (
	"context"
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/app/logfile"
	"chalkfield/internal/base/stats"
	"chalkfield/sim"
	"chalkfield/sim/power"
)

const (
	openKey  = "battery.open"
	innerKey = "battery.resistance"
)

// What is known of a battery before: its charge to a tenth, its resistance to a factor of two.
const openSD = 0.1

// What no log tells better, as a share: a battery is no plain resistance, and its charge falls as it drives. Common
// practice, no source.
const (
	openBlur  = 0.0005
	innerBlur = 0.01
)

// loaded are the battery's readings and the current that it gave, drive by drive.
type loaded struct {
	series      []int
	volts, amps []float64
	grain       float64
	measured    bool // the current is the log's, not the model's
}

// settles is how long before a tick's end the simulated battery's volts are found for its last stride, s.
const settles = 0.005

// battery fits the open voltage and the resistance: volts = open - resistance x current (Ohm's law). The current is the
// log's, or else what the motors of the fitted robot took.
func (e *estimation) battery(ctx context.Context, done map[int]*motion) ([]Parameter, error) {
	data, file := e.underLoad(done), e.spec.Battery
	open := Parameter{Key: openKey, Unit: "V", Before: file.Open, After: file.Open}
	inner := Parameter{Key: innerKey, Unit: "ohm", Before: file.Resistance, After: file.Resistance}
	list := []*Parameter{&open, &inner}
	values := []float64{file.Open, file.Resistance}
	if len(data.volts) < 50 {
		for _, p := range list {
			p.State, p.Why = Untold, "the logs have no battery volts"
		}
		return e.heldBattery(list), nil
	}
	usual := math.Max(file.Resistance, 0.02)
	got, err := stats.Fit(ctx, stats.Problem{Series: data.series, Loss: stats.Huber, LeastScale: leastScale,
		Parameters: []stats.Parameter{
			{Name: open.Key, Start: file.Open, Low: 0.5, High: 70, Prior: file.Open, PriorSD: openSD * file.Open},
			{Name: inner.Key, Start: usual, Low: 0, High: 3, Prior: usual, PriorSD: usual}},
		Residuals: func(x, out []float64) error {
			for i, v := range data.volts {
				out[i] = (x[0] - float64(x[1]*data.amps[i]) - v) / data.grain
			}
			return nil
		}})
	if err != nil {
		return nil, err
	}
	priors := []float64{openSD * file.Open, usual}
	blurs := []float64{openBlur * got.Values[0], innerBlur * got.Values[1]}
	if !data.measured {
		blurs[1] = math.Hypot(innerBlur, e.currentOff()) * got.Values[1]
	}
	for i, p := range list {
		if se := math.Hypot(got.Corrected[i], blurs[i]); se < toldShare*priors[i] {
			values[i] = got.Values[i]
			p.State, p.After, p.Low, p.High = Fitted, values[i], math.Max(0, values[i]-wide*se), values[i]+wide*se
			p.Settings = []Setting{{p.Key, p.After, p.Unit}}
			continue
		}
		p.State, p.Why = Untold, "no drive takes enough current"
	}
	if inner.State == Fitted && !data.measured {
		inner.Why = fmt.Sprintf("the current is the model's: it goes with %s", motorPath("stall_current")(e.spec))
	}
	return e.heldBattery(list), nil
}

// currentOff is how far the model's currents may be off, as a share.
func (e *estimation) currentOff() float64 {
	is := func(r *row) bool { return r.name() == motorPath("stall_current")(e.spec) }
	if slices.ContainsFunc(e.rows, func(r *row) bool { return is(r) && r.held }) {
		return 0
	}
	if j := slices.IndexFunc(e.active, is); j >= 0 {
		return math.Sqrt(e.covariance().At(j, j))
	}
	return currentSD
}

// heldBattery leaves alone what is held.
func (e *estimation) heldBattery(list []*Parameter) (out []Parameter) {
	for _, p := range list {
		for _, key := range e.options.Hold {
			if key == p.Key {
				held := Parameter{Key: p.Key, Unit: p.Unit, Before: p.Before, After: p.Before, State: Held}
				if p.State == Fitted && p.clear(p.Before) {
					held.Why = speakFor(p.After, p.Unit)
				}
				*p = held
			}
		}
		out = append(out, *p)
	}
	return out
}

// underLoad collects readings and currents at the ends of all drives' cells.
func (e *estimation) underLoad(done map[int]*motion) (data loaded) {
	for i, d := range e.drives {
		c := d.log.Column(logfile.BatteryVolts)
		if c == nil {
			continue
		}
		times, n := d.cellTimes(), 0
		volts, logged := d.log.At(c, times), d.log.At(d.log.Column(logfile.BatteryAmps), times)
		data.grain = math.Max(data.grain, math.Max(d.stillNoise(c), 0.005))
		for k, v := range volts {
			amps := done[i].drawn(d.edges[k]-done[i].shift-settles, v)
			if logged != nil {
				amps = logged[k]
				data.measured = true
			}
			if v == v && amps == amps {
				data.volts, data.amps, n = append(data.volts, v), append(data.amps, amps), n+1
			}
		}
		data.series = append(data.series, n)
	}
	return data
}

// drawn is what both sides' motors take from the battery at a time, A.
func (m *motion) drawn(t, terminal float64) (amps float64) {
	for side := range 2 {
		amps += power.FromBattery(at(m.volts[side], t, sim.ControlTick), at(m.amps[side], t, sim.ControlTick), terminal)
	}
	return amps
}
