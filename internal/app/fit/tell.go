package fit

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

const wide = 1.959963984540054 // standard deviations to each side that hold 95 % of a normal distribution

// result is what the fit came to.
func (e *estimation) result(ctx context.Context, logs []Input) (*Result, error) {
	out := &Result{Robot: e.spec.Title, Rounds: e.rounds}
	for _, in := range logs {
		out.Logs = append(out.Logs, Source{in.Log.Name, in.SHA256, in.Log.Seconds()})
	}
	if err := e.allow(ctx); err != nil {
		return nil, err
	}
	out.Parameters = e.parameters()
	out.Unclear = e.unclear()
	was, err := e.predict(ctx, e.file(), e.order)
	if err != nil {
		return nil, err
	}
	is, err := e.predict(ctx, e.apply(e.active, e.numbers), e.order)
	if err != nil {
		return nil, err
	}
	cells, err := e.battery(ctx, is)
	if err != nil {
		return nil, err
	}
	out.Parameters = append(out.Parameters, cells...)
	heldOut, err := e.holdOut(ctx)
	if err != nil {
		return nil, err
	}
	for i, d := range e.drives {
		out.Seconds += d.to - d.from
		out.Drives = append(out.Drives, Drive{Log: d.log.Name, What: d.what, From: d.from, To: d.to, Way: d.way,
			SidesWay: d.sidesWay(), Noise: d.noisy(), Before: d.errors(was[i]), After: d.errors(is[i]), HeldOut: heldOut[i],
			Traces: d.tracesOf(was[i], is[i])})
	}
	e.remark(out, is)
	if err := e.contradicted(ctx, out); err != nil {
		return nil, err
	}
	e.options.progress("done", 1)
	return out, nil
}

// file is the machine as its file has it.
func (e *estimation) file() machine { return machine{spec: e.spec, late: e.spec.Drive.Latency} }

// parameters are what is shown of the rows, in the file's order.
func (e *estimation) parameters() (list []Parameter) {
	file, fitted := e.file(), e.apply(e.active, e.numbers)
	var c *mat.SymDense
	if len(e.active) > 0 {
		c = e.covariance()
	}
	var done []string
	for _, r := range e.rows {
		for _, s := range r.shown {
			if slices.Contains(done, s.key) {
				continue
			}
			done = append(done, s.key)
			p := Parameter{Key: s.key, Unit: s.unit, Before: s.get(&file), After: s.get(&fitted)}
			movers := e.movers(s.key)
			if len(movers) == 0 && r.quiet {
				continue // of no use to anybody: it is only allowed for
			}
			if len(movers) == 0 {
				v := e.states[r]
				p.State, p.Why = v.state, v.why
				if p.After != p.Before { // the stall current, which goes with torque and speed
					p.State, p.Why = Derived, "with torque and speed, so that the motor gives no more than it takes"
					p.Settings = s.settings(&fitted)
				}
			} else {
				p.State, p.Why = Fitted, cmp.Or(e.jointly(s.key), r.said)
				if !e.yielded(s.key) {
					p.Low, p.High, p.beside = e.interval(s, p.After, movers, c)
				}
				p.Settings = s.settings(&fitted)
			}
			list = append(list, p)
		}
	}
	return list
}

// jointly says why a fitted value is told only with others: one of its rows is left alone.
func (e *estimation) jointly(key string) string {
	for _, r := range e.rows {
		v, settled := e.states[r]
		if settled && v.state != Held && slices.ContainsFunc(r.shown, func(s shown) bool { return s.key == key }) {
			return e.rest(r)
		}
	}
	return ""
}

// yielded tells whether a value has a row of its own that was left alone because another does the same: then nothing is
// known of how far it is off by itself.
func (e *estimation) yielded(key string) bool {
	return slices.ContainsFunc(e.rows, func(r *row) bool {
		v, settled := e.states[r]
		return r.yields && settled && v.state != Held && r.shown[0].key == key
	})
}

// rest says what is known of a value of which a row is left alone and another is fitted.
func (e *estimation) rest(r *row) string {
	switch {
	case r.rest == "":
		return cmp.Or(r.alone, e.states[r].why)
	case e.sees(r):
		return r.rest
	}
	return r.rest + " (no x and y in the logs)"
}

// movers are the active rows that change a shown value.
func (e *estimation) movers(key string) (list []int) {
	for j, r := range e.active {
		if slices.ContainsFunc(r.shown, func(s shown) bool { return s.key == key }) {
			list = append(list, j)
		}
	}
	return list
}

// interval is the 95 % one of a shown value, by the slopes of its logarithm (of itself where it may be 0) along the
// rows that change it, fitted or left alone; beside is half of what the fitted ones alone make, where that is not all.
func (e *estimation) interval(s shown, after float64, movers []int, c *mat.SymDense) (low, high, beside float64) {
	slopes := mat.NewVecDense(len(e.active), nil)
	for _, j := range movers {
		slopes.SetVec(j, e.shownSlope(s, e.active[j], j))
	}
	variance := mat.Inner(slopes, c, slopes)
	if more := e.ofAlone(s, slopes); more != 0 {
		beside = wide * math.Sqrt(math.Max(0, variance))
		variance += more
	}
	half := wide * math.Sqrt(math.Max(0, variance))
	if after > 0 && e.active[movers[0]].sd == twice {
		share := math.Exp(half / after)
		return after / share, after * share, beside
	}
	if e.active[movers[0]].signed {
		return after - half, after + half, beside
	}
	return math.Max(0, after-half), after + half, beside
}

// shownSlope is how a shown value changes with a row's number, an active one's or one's that is left alone (-1).
func (e *estimation) shownSlope(s shown, r *row, active int) float64 {
	const h = 1e-4
	at := 0.0
	rows, numbers := e.active, slices.Clone(e.numbers)
	if active < 0 {
		active, rows, numbers = len(rows), append(slices.Clone(rows), r), append(numbers, 0)
	}
	at = numbers[active]
	value := func(number float64) float64 {
		numbers[active] = number
		m := e.apply(rows, numbers)
		return s.get(&m)
	}
	low, high := math.Max(r.low, at-h), math.Min(r.high, at+h)
	return (value(high) - value(low)) / (high - low)
}

// ofAlone is what rows that are left alone add to the variance of a shown value that they change: an error d of one
// changes the value by its slope, less what the fitted rows take up of it (consider).
func (e *estimation) ofAlone(s shown, slopes *mat.VecDense) (variance float64) {
	for _, u := range e.alone {
		if !slices.ContainsFunc(u.row.shown, func(other shown) bool { return other.key == s.key }) {
			continue
		}
		own, takenUp := e.shownSlope(s, u.row, -1), 0.0
		if f := e.freely(u.slopes); f != nil {
			takenUp = mat.Dot(slopes, f.moved)
		}
		variance += float64(u.off * u.off * own * (own - 2*takenUp))
	}
	return variance
}

// unclear names what is left alone, and what would tell it.
func (e *estimation) unclear() (list []Unclear) {
	for _, r := range e.rows {
		v := e.states[r]
		if v.state != Shared && v.state != Untold || r.cure == "" || r.quiet && !e.sees(r) {
			continue
		}
		u := Unclear{Keys: []string{r.name()}, Why: v.why, Cure: r.cure}
		if r.log != "" && !e.sees(r) {
			u.Cure = r.log + ", and " + r.cure
		}
		if r.rest != "" && len(e.movers(r.shown[0].key)) > 0 {
			u.Why = e.rest(r)
		}
		if r.name() == "chassis.mass" {
			u.Keys = append(u.Keys, motorPath("stall_torque")(e.spec))
		}
		list = append(list, u)
	}
	return list
}
