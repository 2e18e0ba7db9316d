package rehearse

import (
	"fmt"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
)

// SetupOf is the rehearsal that left a record, made from the files inside it. What was moved by hand before the run, a
// pad and the path of a replay are not in them.
func SetupOf(rec *record.Record) (Setup, error) {
	h := &rec.Header
	field, err := fields.Parse(h.Field.Name, []byte(rec.Text(h.Field)))
	if err != nil {
		return Setup{}, fmt.Errorf("the record's field: %w", err)
	}
	s := Setup{Field: field, Session: h.Session, Seed: h.Seed, Nominal: h.Nominal, Params: map[string]float64{}}
	for _, p := range h.Params {
		other := func(o record.Number) bool { return o.Name == p.Name && o.Value != p.Value }
		if !slices.ContainsFunc(h.Params, other) { // two routines with their own defaults were given none
			s.Params[p.Name] = p.Value
		}
	}
	for i := range h.Robots {
		e, err := entrantOf(rec, i, field)
		if err != nil {
			return Setup{}, err
		}
		s.Entrants = append(s.Entrants, e)
	}
	return s, nil
}

func entrantOf(rec *record.Record, i int, field *fields.Field) (e Entrant, err error) {
	h := &rec.Header.Robots[i]
	if h.Side < 0 || h.Side >= len(field.Sides) {
		return e, fmt.Errorf("the record's robot %d plays for side %d, which its field has not", i+1, h.Side)
	}
	e.Side = field.Sides[h.Side].Name
	if e.Robot, err = robot.Parse(h.File.Name, []byte(rec.Text(h.File))); err != nil {
		return e, fmt.Errorf("the record's robot %d: %w", i+1, err)
	}
	if h.Routine.SHA256 != "" {
		if e.Routine, err = scripting.LoadTexts(h.Routine.Name, rec.Texts(h.Routine)); err != nil {
			return e, fmt.Errorf("the record's routine %d: %w", i+1, err)
		}
	}
	if len(rec.Samples) == 0 {
		return e, nil
	}
	stood := rec.Samples[0].Robots[i].Belief // at first it believes to be where it was to stand
	if start, err := StartOf(field, e, h.Side); err != nil || record.FromGeom(start) != stood {
		at := stood.Geom()
		e.Start = &at
	}
	return e, nil
}
