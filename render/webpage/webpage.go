package webpage

import (
	"io"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/record"
)

// WriteStudy writes the report of trials, a comparison or a sweep. The field is for the picture; nil leaves it out.
func WriteStudy(w io.Writer, f *results.File, field *fields.Field) error {
	if field != nil {
		field = asStarted(field, &f.Header)
	}
	var p *page
	var err error
	switch f.Header.Kind {
	case results.Compare:
		p, err = comparePage(f, field)
	case results.Sweep:
		p, err = sweepPage(f, field)
	default:
		p, err = trialsPage(f, field)
	}
	if err != nil {
		return err
	}
	return p.write(w)
}

// asStarted is the field without the pieces that the study's robots have on board from the start; a side without a
// robot has its own on the floor.
func asStarted(field *fields.Field, h *results.Header) *fields.Field {
	out := *field
	out.Pieces = slices.DeleteFunc(slices.Clone(field.Pieces), func(p fields.Piece) bool {
		return p.Robot >= 0 && slices.ContainsFunc(h.Variants, func(v results.Variant) bool {
			return slices.ContainsFunc(v.Robots, func(r record.Robot) bool { return r.Side == p.Robot })
		})
	})
	return &out
}
