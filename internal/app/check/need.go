package check

import (
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/units"
)

// need holds what the rehearsal comes to against conditions.
func (j *judgement) need(conditions []string) {
	subject := results.NewSubject(j.record, j.words.floor, nil)
	for _, text := range conditions {
		expected := j.wish("need", "%s", text)
		limit, err := subject.NewLimit(text)
		if err != nil { // a result that another rehearsal gave
			j.fallAtEnd(expected, err.Error())
			continue
		}
		if came := subject.Came(j.words.in, limit, j.record); came != "" {
			j.fallAtEnd(expected, came)
		}
	}
}

// Validate notes what is wrong with expectations at a path of a file.
func (e *Expectations) Validate(at *tomlfile.Positions, path string) {
	if e.none() {
		at.Errorf(path, "it expects nothing: write, for example, { done_before = \"5 s\" }")
	}
	e.expectations(at, path)
}

// Meaning notes what rehearsals like this one, on a floor, cannot have.
func (e *Expectations) Meaning(at *tomlfile.Positions, path string, r *record.Record, floor geom.Polygon) {
	wordsOf(r, floor).meaning(at, path, e, r)
}

// Held tells what of the expectations a rehearsal on a floor does not hold.
func (e *Expectations) Held(r *record.Record, floor geom.Polygon, in units.System) []Shortfall {
	return e.judge(r, floor, in).short
}

// Marks are the expectations, as a rehearsal on a floor holds them.
func (e *Expectations) Marks(r *record.Record, floor geom.Polygon, in units.System) []Mark {
	j := e.judge(r, floor, in)
	return marks([]verdict{{wishes: j.wishes, short: j.short}})
}

func (e *Expectations) judge(r *record.Record, floor geom.Polygon, in units.System) *judgement {
	w := wordsOf(r, floor)
	w.in = in
	return judge(r, w, e, nil)
}
