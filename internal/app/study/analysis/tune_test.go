package analysis

import (
	"testing"

	"chalkfield/internal/base/stats"
)

// What rounding leaves of pseudo-values is no difference: two of twenty pairs that differ show nothing.
func TestRoundingIsNoDifference(t *testing.T) {
	a, b := make([]float64, 20), make([]float64, 20)
	for i := range a {
		a[i], b[i] = 4.5, 4.5+2e-15
	}
	b[3], b[7] = 7.5, 7.5
	if d := difference("", a, b, 1); d.P > 0.01 {
		t.Fatalf("rounding is counted no more: p %g; this test tells nothing", d.P)
	}
	alike(a, b)
	d := difference("", a, b, 1)
	if d.Higher != 2 || d.Lower != 0 || d.P != 0.5 || d.P < 1-stats.Level {
		t.Errorf("2 of 20 pairs differ: %d higher, %d lower, p %g; by the two coins 0.5", d.Higher, d.Lower, d.P)
	}
}
