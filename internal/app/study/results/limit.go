package results

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"chalkfield/internal/base/formula"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
)

// NoResult is of a condition about a result that the routine did not give.
type NoResult struct{ Name string }

func (e *NoResult) Error() string { return fmt.Sprintf("the routine gives no result(%q, ...)", e.Name) }

var resultsRead = regexp.MustCompile(`\bresult\(\s*(?:"([^"]*)"|'([^']*)'|([^()"']*))\s*\)`)

// NewLimit reads a condition on what one rehearsal comes to. The error is a *NoResult or a *formula.Error.
func (s *Subject) NewLimit(text string) (*Goal, error) {
	for _, read := range resultsRead.FindAllStringSubmatch(text, -1) {
		if name := strings.TrimSpace(strings.Join(read[1:], "")); !slices.Contains(s.results, name) {
			return nil, &NoResult{name}
		}
	}
	f, err := formula.Parse(text, formula.Truth, s.vocabulary())
	if err != nil {
		return nil, err
	}
	g := &Goal{Text: text, limits: []*formula.Formula{f}}
	s.reads(g, f)
	return g, nil
}

// Came tells what a rehearsal comes to that does not keep a limit, "turn_overshoot 4.20 deg"; "" for one that does.
func (s *Subject) Came(in units.System, g *Goal, r *record.Record) string {
	values, lacks := s.Read(g.Reads, r)
	if lacks != "" {
		return lacks
	}
	e := evaluation{Subject: s, goal: g, rows: [][]float64{values}}
	if e.run.Holds(g.limits[0], e.overAll(g.limits[0])) {
		return ""
	}
	came := make([]string, len(values))
	for i, read := range g.Reads {
		came[i] = fmt.Sprintf("%s %s", read, Shown(in, values[i], read.Unit))
	}
	return strings.Join(came, ", ")
}
