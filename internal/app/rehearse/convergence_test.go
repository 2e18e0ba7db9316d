package rehearse

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
)

// Every embedded routine, nominal, with the usual steps and strides (0) and with steps of one length: it does the same
// deeds at about the same times, scores the same, and ends at the same place as with the shortest. The errors are of
// the step's first order, but a routine's decisions, which come in ticks of 10 ms, and contacts make them jump: the
// bounds are 1.5 times the worst that was found, for the usual ones those of 5 ms, a stride (2.24 mm at 1 ms, where the
// sled routine ends one motion a tick later, 1.34 at 2, 1.02 at 2.5, 2.17 at 5 and 3.66 at 10 ms; 0.04 degrees up to
// 2.5 ms, 0.09 at 5 and 0.20 at 10; a deed 30 ms late up to 2.5 ms, 60 at 5, 90 at 10; the usual ones: 2.16 mm, 0.07
// degrees, 70 ms). The sled routine jumps: its turn ends at 1.92 s with steps up to 1 ms and a tick sooner with longer
// ones, and so the robot, with the sled in tow, ends 4.1 to 8.9 mm elsewhere (0.04 mm at 1 ms). The routines of Orchard
// Row and Night Mail wait until the belt is empty, which it is one to three ticks sooner or later, before they drive
// and turn on wheels that scrub: they end 0.9 to 6.4 and 1.0 to 2.3 mm elsewhere, at no step more than at others.
// That of Cask Quay docks twice with a cart of 2.5 kg in tow that swings out: it ends 5.5 to 10.5 mm and up to 0.2
// degrees elsewhere, at 10 ms 20 mm and 0.76 degrees; its deeds come within two ticks.
// That of Sorting Yard ends with a turn to a point on wheels that scrub, after it took its place from a mark with
// noise: its heading ends 0.1 degrees elsewhere at 2 ms, 0.28 at 10 ms.
func TestTheStepHardlyMatters(t *testing.T) {
	const reference = 0.0005
	jumps := map[string]struct{ place, heading float64 }{ // m, rad
		"core_haul_sled": {place: 13.4e-3}, "orchard_row_baskets": {place: 9.6e-3}, "night_mail_bundle": {place: 3.5e-3},
		"sorting_yard_sift": {heading: 0.42 * math.Pi / 180}, "cask_quay_refill": {30e-3, 1.15 * math.Pi / 180},
	}
	bounds := []struct{ step, place, heading, late float64 }{ // s, m, rad, s
		{0, 3.3e-3, 0.14 * math.Pi / 180, 0.09},
		{0.001, 3.4e-3, 0.06 * math.Pi / 180, 0.045}, {0.002, 2.0e-3, 0.06 * math.Pi / 180, 0.045},
		{0.0025, 1.6e-3, 0.06 * math.Pi / 180, 0.045}, {0.005, 3.3e-3, 0.14 * math.Pi / 180, 0.09},
		{0.01, 5.5e-3, 0.30 * math.Pi / 180, 0.135},
	}
	for _, row := range pinnedRuns() {
		if row.crew != alone || !row.nominal || row.side != 0 {
			continue
		}
		t.Run(row.routine, func(t *testing.T) {
			t.Parallel()
			setup := row.setup(t)
			setup.step = reference
			want := rehearsed(t, setup)
			for _, b := range bounds[:property.Cases(1, len(bounds))] { // the first are the usual
				if row.routine != "core_haul_sled" || b.step != 0.001 {
					jump := jumps[row.routine]
					b.place, b.heading = max(b.place, jump.place), max(b.heading, jump.heading)
				}
				setup.step = b.step
				got := rehearsed(t, setup)
				place, heading, late := apart(t, fmt.Sprintf("%g ms", b.step*1e3), got, want)
				t.Logf("%4g ms: ends %.2f mm and %.3f deg off, deeds at most %.0f ms", b.step*1e3, place*1e3, heading*180/math.Pi,
					late*1e3)
				if place > b.place || heading > b.heading || late > b.late {
					t.Errorf("%g ms: ends %.2f mm and %.3f deg off, deeds up to %.0f ms", b.step*1e3, place*1e3, heading*180/math.Pi,
						late*1e3)
				}
			}
		})
	}
}

// deeds are the events that count.
var deeds = []record.Kind{record.Pickup, record.Scored, record.Clamped, record.Unclamped, record.Missed, record.Jammed}

// apart is how far two records end from one another (m, rad), and how much sooner or later a deed of them is (s).
func apart(t *testing.T, name string, a, b *record.Record) (place, heading, late float64) {
	if !slices.Equal(a.Sheet.Total, b.Sheet.Total) {
		t.Errorf("%s: scores %v instead of %v", name, a.Sheet.Total, b.Sheet.Total)
	}
	times := func(r *record.Record) map[string][]float64 {
		list := map[string][]float64{}
		for _, e := range r.Events {
			if slices.Contains(deeds, e.Kind) {
				key := string(e.Kind) + " " + e.What
				list[key] = append(list[key], e.T)
			}
		}
		return list
	}
	got, want := times(a), times(b)
	if len(got) != len(want) {
		t.Errorf("%s: %d kinds of deeds instead of %d", name, len(got), len(want))
	}
	for key, at := range want {
		if len(got[key]) != len(at) {
			t.Errorf("%s: %s at %v instead of %v", name, key, got[key], at)
			continue
		}
		for i := range at {
			late = max(late, math.Abs(got[key][i]-at[i]))
		}
	}
	p, q := a.Samples[len(a.Samples)-1].Robots[0].True, b.Samples[len(b.Samples)-1].Robots[0].True
	return math.Hypot(p[0]-q[0], p[1]-q[1]), math.Abs(math.Remainder(p[2]-q[2], 2*math.Pi)), late
}
