package results

import (
	"fmt"
	"slices"

	"chalkfield/internal/base/record"
)

// Yardstick is a goal by which a study is measured that searches nothing.
type Yardstick struct {
	For   string    `json:"for"`
	Reads []Reading `json:"reads"` // what it reads of each rehearsal
}

// Goal is what the study is measured by, as its file has it: nil where it is measured by the score alone. The subject
// can work it out, but read no record.
func (h *Header) Goal() (*Subject, *Goal, error) {
	if h.Yardstick == nil {
		return nil, nil, nil
	}
	s := &Subject{words: &record.Vocabulary{Rules: h.Rules}, kept: true, results: []string{}, units: []string{}}
	for _, r := range h.Yardstick.Reads {
		if r.Measure == "result" {
			s.results, s.units = append(s.results, r.Text), append(s.units, r.Unit)
		}
	}
	g, err := s.NewGoal(h.Yardstick.For, nil)
	if err == nil && !slices.Equal(g.Reads, h.Yardstick.Reads) {
		err = fmt.Errorf("the goal %q does not read what the header says", h.Yardstick.For)
	}
	return s, g, err
}

// reads is how many readings each rehearsal of the study has.
func (h *Header) reads() int {
	if h.Yardstick == nil {
		return 0
	}
	return len(h.Yardstick.Reads)
}
