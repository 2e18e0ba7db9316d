package results

import (
	"slices"

	"chalkfield/internal/base/record"
)

// memory keeps results in no more room than they need: a study has up to a million of them, which use the same few
// words. Each is decoded into a scratch, whose lists have grown by then, and copied.
type memory struct {
	last  result
	words map[string]string
}

// scratch is an empty result to decode the next one into. Lists are emptied, since the decoder leaves what it does not
// set.
func (m *memory) scratch() *result {
	old := &m.last.Result
	clear(old.Did[:cap(old.Did)])
	m.last = result{Result: Result{Drawn: old.Drawn[:0], Did: old.Did[:0], Path: old.Path[:0]}}
	return &m.last
}

func (m *memory) keep(r *Result) *Result {
	kept := *r
	kept.Total, kept.Count, kept.Points = slices.Clone(r.Total), slices.Clone(r.Count), slices.Clone(r.Points)
	kept.Drawn, kept.Did, kept.Path = slices.Clone(r.Drawn), slices.Clone(r.Did), slices.Clone(r.Path)
	kept.Tried, kept.Reads, kept.Asked = slices.Clone(r.Tried), slices.Clone(r.Reads), slices.Clone(r.Asked)
	if len(kept.Path) == 0 {
		kept.Path = nil
	}
	for i := range kept.Did {
		d := &kept.Did[i]
		d.Kind = record.Kind(m.word(string(d.Kind)))
		for _, word := range []*string{&d.What, &d.Why, &d.File, &d.Piece} {
			*word = m.word(*word)
		}
	}
	return &kept
}

func (m *memory) word(w string) string {
	if known, ok := m.words[w]; ok {
		return known
	}
	if m.words == nil {
		m.words = map[string]string{}
	}
	m.words[w] = w
	return w
}
