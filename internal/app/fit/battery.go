package fit

import (
	"context"
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/app/logfile"
	"chalkfield/internal/base/stats"
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
	made        []drawing
	coarse      bool    // its steps are large
	rounded     float64 // what a reading's step makes of how far the volts fall, as a share: steady ones are rounded alike
	charge      float64 // V: standard error of the mean of what the battery had at rest
}

// drawing is when a reading's current flowed, by the model.
type drawing struct {
	motion *motion
	at     float64 // s, were the battery's readings as late as those of the motion
	volts  float64
}

// current is that of a reading whose battery is read so much sooner than the motion, s.
func (l *loaded) current(i int, sooner float64) float64 {
	if l.measured {
		return l.amps[i]
	}
	d := &l.made[i]
	return d.motion.drawn(d.at+sooner, d.volts)
}

// How much sooner the battery is read than the motion, s: encoders and gyros may be late, by less than the whole
// latency. Common practice, no source.
const (
	soonerSD  = 0.02
	leastSoon = -0.02
	surely    = 3.0 // errors, of what is said
	notable   = 0.004
	tiny      = 1e-6 // s

	coarseSteps = 0.03 // V of the battery's readings
)

// settles is how long before a tick's end the simulated battery's volts are found for its last stride, s.
const settles = 0.005

// battery fits the open voltage and the resistance: volts = open - resistance x current (Ohm's law). The current is the
// log's, or else what the motors of the fitted robot took. Sensors of the motion that are late make that seem to come
// sooner than it moves.
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
	got, off, err := e.law(ctx, &data, usual)
	if err != nil {
		return nil, err
	}
	priors := []float64{openSD * file.Open, usual}
	blurs := []float64{math.Hypot(openBlur*got[0], data.charge), innerBlur * got[1]}
	if !data.measured {
		blurs[1] = math.Hypot(innerBlur, e.currentOff()) * got[1]
	}
	blurs[1] = math.Hypot(blurs[1], data.rounded*got[1])
	for i, p := range list {
		if se := math.Hypot(off[i], blurs[i]); se < toldShare*priors[i] {
			values[i] = got[i]
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

// law fits open voltage and resistance, with how much sooner the battery is read. Coarse readings do not tell that:
// there they are the mean over all that may be, and their errors allow for it.
func (e *estimation) law(ctx context.Context, data *loaded, usual float64) (mean, off [2]float64, err error) {
	late := math.Max(tiny, e.late())
	if !data.coarse {
		got, err := e.ohm(ctx, data, usual, leastSoon, late)
		if err != nil {
			return mean, off, err
		}
		if sooner := got.Values[2]; !data.measured && sooner > math.Max(notable, surely*got.Corrected[2]) {
			e.sooner = sooner
		}
		return [2]float64(got.Values), [2]float64(got.Corrected), nil
	}
	const parts = 8
	for k := range parts + 1 {
		sooner := late * float64(k) / parts
		got, err := e.ohm(ctx, data, usual, sooner, sooner+tiny)
		if err != nil {
			return mean, off, err
		}
		for i := range mean {
			mean[i] += got.Values[i] / (parts + 1)
			off[i] += (float64(got.Corrected[i]*got.Corrected[i]) + float64(got.Values[i]*got.Values[i])) / (parts + 1)
		}
	}
	for i := range mean {
		off[i] = math.Sqrt(math.Max(0, off[i]-float64(mean[i]*mean[i])))
	}
	return mean, off, nil
}

// ohm fits the law with the battery read sooner than the motion by some time from least to most, s.
func (e *estimation) ohm(ctx context.Context, data *loaded, usual, least, most float64) (stats.Estimate, error) {
	file := e.spec.Battery
	return stats.Fit(ctx, stats.Problem{Series: data.series, Loss: stats.Huber, LeastScale: leastScale,
		Parameters: []stats.Parameter{
			{Name: openKey, Start: file.Open, Low: 0.5, High: 70, Prior: file.Open, PriorSD: openSD * file.Open},
			{Name: innerKey, Start: usual, Low: 0, High: 3, Prior: usual, PriorSD: usual},
			{Name: "sooner", Start: math.Max(0, least), Low: least, High: most, Step: 0.001, PriorSD: soonerSD}},
		Residuals: func(x, out []float64) error {
			for i, v := range data.volts {
				out[i] = (x[0] - float64(x[1]*data.current(i, x[2])) - v) / data.grain
			}
			return nil
		}})
}

// late is the fitted latency, s.
func (e *estimation) late() float64 { return e.apply(e.active, e.numbers).late }

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

// underLoad collects readings and currents at the ends of all drives' cells. A battery has not the same charge in all
// logs: what it had at rest before a drive, beside the mean, is taken off.
func (e *estimation) underLoad(done map[int]*motion) (data loaded) {
	rests, mean := e.rested()
	data.charge = stats.Describe(rests).SD / math.Sqrt(float64(len(e.recordings())))
	for i, d := range e.drives {
		c := d.log.Column(logfile.BatteryVolts)
		if c == nil {
			continue
		}
		times, n := d.cellTimes(), 0
		volts, logged := d.log.At(c, times), d.log.At(d.log.Column(logfile.BatteryAmps), times)
		data.grain = math.Max(data.grain, math.Max(d.stillNoise(c), 0.005))
		for k, v := range volts {
			at := d.edges[k] - done[i].shift - settles
			amps := done[i].drawn(at, v)
			if logged != nil {
				amps = logged[k]
				data.measured = true
			}
			if v == v && amps == amps {
				charged := rests[i] - mean
				data.volts, data.amps, n = append(data.volts, v-charged), append(data.amps, amps), n+1
				data.made = append(data.made, drawing{done[i], at, v})
			}
		}
		data.series = append(data.series, n)
		data.rounded = math.Max(data.rounded, d.grain(c)/math.Sqrt(12))
	}
	data.coarse = data.rounded > coarseSteps/math.Sqrt(12)
	if len(data.volts) > 0 {
		data.rounded /= math.Max(slices.Max(data.volts)-slices.Min(data.volts), data.rounded)
	}
	return data
}

// rested are the battery's volts at rest before each drive, and their mean; where a log does not have them, the mean.
func (e *estimation) rested() (rests []float64, mean float64) {
	rests = make([]float64, len(e.drives))
	known := 0
	for i, d := range e.drives {
		rests[i] = math.NaN()
		c := d.log.Column(logfile.BatteryVolts)
		for _, s := range d.still {
			if c == nil || s.To > d.from+before+rounding {
				break
			}
			if v, n := meanOf(d.log, c, s.To-quiet, s.To-before); n > 0 {
				rests[i] = v
			}
		}
		if rests[i] == rests[i] {
			mean, known = mean+rests[i], known+1
		}
	}
	mean /= float64(max(1, known))
	for i, v := range rests {
		if v != v {
			rests[i] = mean
		}
	}
	return rests, mean
}

// drawn is what both sides' motors take from the battery at a time, A.
func (m *motion) drawn(t, terminal float64) (amps float64) {
	for side := range 2 {
		amps += power.FromBattery(at(m.volts[side], t), at(m.amps[side], t), terminal)
	}
	return amps
}
