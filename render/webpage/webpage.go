package webpage

import (
	"io"

	"chalkfield/fields"
	"chalkfield/internal/study/part"
)

// WriteStudy writes the report of trials, a comparison or a sweep. The field is for the picture; nil leaves it out.
func WriteStudy(w io.Writer, f *part.File, field *fields.Field) error {
	var p *page
	var err error
	switch f.Header.Kind {
	case part.Compare:
		p, err = comparePage(f, field)
	case part.Sweep:
		p, err = sweepPage(f, field)
	default:
		p, err = trialsPage(f, field)
	}
	if err != nil {
		return err
	}
	return p.write(w)
}
