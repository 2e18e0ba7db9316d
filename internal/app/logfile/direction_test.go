package logfile

import "testing"

// An arc whose turn and way go both ways says so once.
func TestAnArcBothWays(t *testing.T) {
	ahead, turn := []float64{4, 4, -4, -4}, []float64{-2, 2, 2, -2}
	if got := arcWords(turn, ahead); got != "arc both ways" {
		t.Errorf("it is called %q", got)
	}
	if got := arcWords([]float64{2, 2}, []float64{4, 4}); got != "arc left forwards" {
		t.Errorf("it is called %q", got)
	}
}
