package fit

import (
	"context"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// When logs are said to speak against a held value: so many errors, and so much of the value. Common practice, no
// source.
const (
	sureErrors = 5.0
	sureShare  = 0.03
)

func speakFor(value float64, unit string) string {
	return fmt.Sprintf("these logs speak for %s", Printed("", value, 0.02*value, unit))
}

// contradicted says where the logs speak against a value that is held: one step of Gauss and Newton's from the optimum,
// with that value and all fitted ones free.
func (e *estimation) contradicted(ctx context.Context, out *Result) error {
	for _, r := range e.rows {
		if !r.held || r.tries != nil || !e.sees(r) && r.aside == 0 || r.sd != twice || len(e.active) == 0 ||
			e.toldByAnother(r) {
			continue
		}
		number, off, err := e.freed(ctx, r)
		if err != nil {
			return err
		}
		rows, numbers := append(slices.Clone(e.active), r), append(slices.Clone(e.numbers), number)
		before, after := e.apply(e.active, e.numbers), e.apply(rows, numbers)
		was, is := r.shown[0].get(&before), r.shown[0].get(&after)
		i := slices.IndexFunc(out.Parameters, func(p Parameter) bool { return p.Key == r.shown[0].key })
		if math.Abs(number) > sureErrors*off && math.Abs(is/was-1) > sureShare && i >= 0 {
			out.Parameters[i].Why = speakFor(is, r.shown[0].unit)
		}
	}
	for _, p := range out.Parameters {
		if p.State == Held && p.Why != "" {
			out.warn("%s is held, and %s: measure it again, or let it be fitted", p.Key, p.Why)
		}
	}
	return nil
}

// toldByAnother tells whether a fitted row explains all that a held one would: a mass is told where the motors' torque
// is held, for else a heavier robot with stronger motors drives the same, and what speaks for another is what the model
// lacks.
func (e *estimation) toldByAnother(r *row) bool {
	return r.name() == "chassis.mass" && slices.ContainsFunc(e.active, func(a *row) bool {
		return a.name() == motorPath("stall_torque")(e.spec)
	})
}

// freed is where a row's number that is not fitted would go, and its error.
func (e *estimation) freed(ctx context.Context, r *row) (number, off float64, err error) {
	slopes, err := e.aside(ctx, r, 5*r.step)
	if err != nil {
		return 0, 0, err
	}
	f := e.freely(slopes)
	if f == nil {
		return 0, math.Inf(1), nil
	}
	variance := f.variance
	for _, u := range e.alone {
		shift := u.row.sd * floats.Dot(f.weighed, u.slopes) / f.told
		variance += float64(shift * shift)
	}
	return max(r.low, min(r.high, max(-0.7, min(0.7, f.number)))), math.Sqrt(variance), nil
}
