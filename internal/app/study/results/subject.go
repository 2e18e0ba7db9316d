package results

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/base/formula"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

// Subject is what rehearsals of one field, robot and routine can be asked for.
type Subject struct {
	words   *record.Vocabulary
	floor   geom.Polygon
	results []string
	units   []string // SI, of the results
	kept    bool     // of a study's file: what events there are is not known
}

// NewSubject looks at one rehearsal on a floor. named are results that the routine's text has beside those it gave.
func NewSubject(r *record.Record, floor geom.Polygon, named []record.Signal) *Subject {
	s := &Subject{words: r.Vocabulary(), floor: floor, results: []string{}, units: []string{}}
	for _, n := range append(Given(r), named...) {
		s.add(n.Name, n.Unit)
	}
	return s
}

// Given are the results that the routine under test gave in a rehearsal.
func Given(r *record.Record) (list []record.Signal) {
	for _, e := range r.Events {
		if e.Kind == record.Result && e.Robot == own {
			list = append(list, record.Signal{Name: e.What, Unit: e.Unit})
		}
	}
	return list
}

func (s *Subject) add(name, unit string) {
	if !slices.Contains(s.results, name) {
		si, _ := inSI(0, unit)
		s.results, s.units = append(s.results, name), append(s.units, si)
	}
}

// inSI is a value of a unit as a routine gives it; a unit that no file may have leaves a plain number.
func inSI(value float64, unit string) (si string, x float64) {
	si, known := units.Of(unit)
	if !known {
		return "", value
	}
	x, _, err := units.Parse(si, fmt.Sprintf("%g %s", value, unit))
	if err != nil {
		return "", value
	}
	return si, x
}

// vocabulary is what goals may read.
func (s *Subject) vocabulary() (words []formula.Word) {
	for i := range Measures {
		m := &Measures[i]
		w := formula.Word{Name: m.Name, Unit: m.Unit, What: string(m.Of), Bare: m.Of != OfNothing}
		switch m.Of {
		case OfRule:
			w.Of = s.words.Rules
		case OfResult:
			w.Of, w.Units = s.results, s.units
		case OfEvent:
			w.Of = []string{"scored"}
			w.Check = func(text string) error { _, err := s.words.Event(text); return err }
			if s.kept {
				w.Check = func(string) error { return nil }
			}
		}
		words = append(words, w)
	}
	return words
}

// Reading is a measure with the text in its brackets.
type Reading struct {
	Measure string `json:"measure"`
	Text    string `json:"of,omitempty"`
	Unit    string `json:"unit,omitempty"` // SI
}

// String is how a goal writes it: "time(scored middle sled)".
func (r Reading) String() string {
	if r.Text == "" {
		return r.Measure
	}
	return r.Measure + "(" + r.Text + ")"
}

// Read is what a rehearsal comes to. lacks says what it should have and has not, "" for nothing.
func (s *Subject) Read(list []Reading, r *record.Record) (values []float64, lacks string) {
	m := measured{Record: r, Subject: s}
	for _, one := range list {
		m.text = one.Text
		i := slices.IndexFunc(Measures[:], func(m Measure) bool { return m.Name == one.Measure })
		x := Measures[i].of(&m)
		if math.IsNaN(x) {
			lacks, x = fmt.Sprintf("the routine gives no result(%q, ...)", one.Text), 0
		}
		values = append(values, x)
	}
	return values, lacks
}
