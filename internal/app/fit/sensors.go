package fit

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/internal/app/logfile"
	"chalkfield/internal/base/stats"
	"chalkfield/sim/robot"
)

// longStill is how long a robot must stand for its gyro's noise to be read, s. Common practice, no source.
const longStill = 10.0

// sensors reads the inertial sensor's noise from the longest stand-still.
func (e *estimation) sensors(out *Result) {
	var best *recording
	var from, to float64
	for _, r := range e.all {
		for _, s := range r.still {
			if s.To-s.From > math.Max(longStill, to-from) && r.log.Column(logfile.Heading) != nil {
				best, from, to = r, s.From, s.To
			}
		}
	}
	if best == nil {
		return
	}
	step := 1 / best.log.Clock.Rate
	var angle []float64
	for _, a := range best.log.At(best.log.Column(logfile.Heading), grid(from, to, step)) {
		if a == a {
			angle = append(angle, a)
		}
	}
	noise, err := stats.ReadAllan(stats.AllanDeviation(angle, step))
	if err != nil || noise.Walk == 0 {
		return
	}
	for i, s := range e.spec.Sensors {
		if s.Kind != robot.Inertial {
			continue
		}
		key := fmt.Sprintf("sensors[%d].inertial.walk", i)
		out.Parameters = append(out.Parameters, Parameter{Key: key, Unit: "rad/sqrt(s)", Before: s.Inertial.Walk,
			After: noise.Walk, State: Fitted, Why: fmt.Sprintf("Allan deviation over %.0f s of %s", to-from, best.log.Name),
			Settings: []Setting{{key, noise.Walk, "rad/sqrt(s)"}}})
		return
	}
}

// fewestRepeats tell a spread.
const fewestRepeats = 3

// spread reads how alike the starts of repeats are, from logs called so whose place and heading are not counted from
// their own start.
func (e *estimation) spread(out *Result) {
	var x, y, heading []float64
	for _, r := range e.all {
		if !strings.Contains(strings.ToLower(r.log.Name), "repeat") {
			continue
		}
		first := func(list []float64, q logfile.Quantity) []float64 {
			if c := r.log.Column(q); c != nil {
				if mean, n := meanOf(r.log, c, r.log.Time[0], r.log.Time[0]+quiet); n > 0 {
					return append(list, mean)
				}
			}
			return list
		}
		x, y, heading = first(x, logfile.Place[0]), first(y, logfile.Place[1]), first(heading, logfile.Heading)
	}
	add := func(key, unit string, before, sd float64) {
		out.Parameters = append(out.Parameters, Parameter{Key: key, Unit: unit, Before: before, After: sd, State: Fitted,
			Why: fmt.Sprintf("standard deviation of %d starts", len(x)), Settings: []Setting{{key, sd, unit}}})
	}
	if len(x) < fewestRepeats || len(y) != len(x) {
		return
	}
	if sd := math.Hypot(stats.Describe(x).SD, stats.Describe(y).SD) / math.Sqrt2; sd > 0.001 {
		add("spread.start_at", "m", e.spec.Spread.StartAt, sd)
		if len(heading) == len(x) && stats.Describe(heading).SD > 0.002 {
			add("spread.start_heading", "rad", e.spec.Spread.StartHeading, stats.Describe(heading).SD)
		}
	}
}
