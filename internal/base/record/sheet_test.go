package record

import (
	"slices"
	"testing"
)

// A sheet has a cell a side, also where its points are not known.
func TestASheetHasPointsOfEachSide(t *testing.T) {
	for _, c := range []struct {
		total []float64
		want  []string
	}{{[]float64{4, 0.1 + 0.2}, []string{"4", "0.3"}}, {[]float64{2}, []string{"2", ""}},
		{[]float64{1, 2, 3}, []string{"1", "2"}}, {nil, []string{"", ""}}} {
		s := Sheet{Sides: []string{"ochre", "teal"}, Total: c.total}
		if got := s.Points(); !slices.Equal(got, c.want) {
			t.Errorf("%v: %q, want %q", c.total, got, c.want)
		}
	}
}
