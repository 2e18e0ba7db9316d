package fit

import (
	"context"
	"slices"
)

// without gives the numbers of a fit to all drives but one: from the optimum of all, with that drive's residuals left
// out. What pulled on the rest there goes on pulling.
func (e *estimation) without(ctx context.Context, k int) ([]float64, error) {
	out := e.drives[k].rows()
	for _, t := range e.tapes {
		if slices.Contains(t.drives, k) {
			out[t.at], out[t.at+1] = true, true
		}
	}
	rest := e.pull(e.numbers, e.got.Residuals, nil)
	numbers, _, err := e.chord(ctx, out, rest, 0.5)
	return numbers, err
}

// rows are the residuals of a drive.
func (d *drive) rows() map[int]bool {
	out := map[int]bool{}
	for _, s := range d.signals {
		at := s.at
		for _, v := range s.values {
			if v == v {
				out[at] = true
				at++
			}
		}
	}
	for _, end := range d.ends {
		out[end.at] = true
	}
	return out
}

// holdOut predicts each drive from a fit of all others.
func (e *estimation) holdOut(ctx context.Context) ([]*Errors, error) {
	if len(e.drives) < 3 {
		return make([]*Errors, len(e.drives)), nil
	}
	list := make([]*Errors, len(e.drives))
	for k, d := range e.drives {
		e.options.progress("leaving drives out", 0.8+0.2*float64(k)/float64(len(e.drives)))
		numbers, err := e.without(ctx, k)
		if err != nil {
			return nil, err
		}
		done, err := e.predict(ctx, e.apply(e.active, numbers), []int{k})
		if err != nil {
			return nil, err
		}
		errors := d.errors(done[k])
		list[k] = &errors
	}
	return list, nil
}
