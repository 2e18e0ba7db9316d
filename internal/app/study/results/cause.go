package results

import (
	"cmp"
	"math"
	"slices"
)

// patience is how long after it was due a step can be called missing, s: rehearsals keep the plan's time to some
// tenths, and a jam, a stall or a motion's end is told only after it has lasted a while (common practice, no source).
const patience = 0.5

// fault is trouble, with the index of its moment.
type fault struct {
	Departure
	moment int
}

// causes puts departures into the order in which they are to blame. What happened and should not have comes in order of
// time. A missing step is blamed only when nothing of that began before it could be called missing: a clamp that misses
// explains the pieces that are then not scored, however early those were due.
func causes(plan, got Result, faults []fault, lacking []Departure, delays []delay) []Departure {
	slices.SortStableFunc(lacking, func(a, b Departure) int { return cmp.Compare(a.T, b.T) })
	began := onsets(plan, got, faults, delays)
	var all []Departure
	for i, f := range faults {
		for len(lacking) > 0 && lacking[0].T+patience < began[i] {
			all, lacking = append(all, lacking[0]), lacking[1:]
		}
		all = append(all, f.Departure)
	}
	return append(all, lacking...)
}

// onsets tells when each fault began to be: when the plan has what it stands in place of, if that is earlier than the
// fault itself, or when a fault after it began. A motion that ends by timeout went wrong before it should have arrived,
// and what it met on the way belongs to it. faults are in order of time.
func onsets(plan, got Result, faults []fault, delays []delay) []float64 {
	list := make([]float64, len(faults))
	least := math.Inf(1)
	for i := len(faults) - 1; i >= 0; i-- {
		least = min(least, faults[i].T)
		if due, found := inPlaceOf(plan, got, faults[i].moment); found {
			least = min(least, due+delayAt(delays, due))
		}
		list[i] = least
	}
	return list
}

// inPlaceOf is the time at which the plan has the try that a moment ended: of the same kind and number at the same
// line.
func inPlaceOf(plan, got Result, moment int) (t float64, found bool) {
	m := got.Did[moment]
	if m.Line == 0 || m.Kind.Traits().Try == "" {
		return 0, false
	}
	same := func(o Moment) bool {
		return o.Line == m.Line && o.File == m.File && o.Kind.Traits().Try == m.Kind.Traits().Try
	}
	nth := 0
	for _, o := range got.Did[:moment] {
		if same(o) {
			nth++
		}
	}
	for _, o := range plan.Did {
		if !same(o) {
			continue
		}
		if nth == 0 {
			return o.T, true
		}
		nth--
	}
	return 0, false
}

// delay is how much later than planned, s, an achievement came about that the plan and a rehearsal share.
type delay struct {
	planned float64 // s
	by      float64 // s
}

// delaysOf lists the delays in the order of the plan.
func delaysOf(plan, got Result) []delay {
	var list []delay
	has := timesOf(got)
	for _, m := range plan.Did {
		if m.Kind.Traits().Done != "" && len(has[name(m)]) > 0 {
			list = append(list, delay{m.T, has[name(m)][0] - m.T})
			has[name(m)] = has[name(m)][1:]
		}
	}
	return list
}

// delayAt is the last delay known at a time of the plan; none is known before the first.
func delayAt(list []delay, planned float64) float64 {
	by := 0.0
	for _, d := range list {
		if d.planned > planned {
			break
		}
		by = d.by
	}
	return by
}

// timesOf lists when a rehearsal's moments came about, by kind and thing.
func timesOf(got Result) map[string][]float64 {
	times := map[string][]float64{}
	for _, m := range got.Did {
		times[name(m)] = append(times[name(m)], m.T)
	}
	return times
}
