package logfile

import (
	"math"
	"slices"
	"strings"
	"testing"
)

func TestALogIsReadAtAnyTimes(t *testing.T) {
	const text = `time s,left V,right %,left travel mm,battery V
0,1,50,0,10
0.1,2,50,10,10
0.2,3,,20,10
0.3,4,25,30,12
2.0,5,25,200,12
2.1,6,25,210,12
`
	l, err := Read("run.csv", strings.NewReader(text), Settings{})
	if err != nil {
		t.Fatal(err)
	}
	none := math.NaN()
	times := []float64{-0.1, 0, 0.05, 0.1, 0.25, 0.3, 1, 2.05, 2.2, 9}
	left, volts := l.DriveAt(0, times)
	right, converted := l.DriveAt(1, times)
	for _, c := range []struct {
		name      string
		got, want []float64
	}{
		{"travel", l.At(l.Column(Travel[0]), times), []float64{none, 0, 0.005, 0.01, 0.025, 0.03, none, 0.205, 0.21, none}},
		{"volts", left, []float64{none, 1, 1, 2, 3, 4, none, 5, 6, none}},
		{"shares of the battery", right, []float64{none, 5, 5, 5, 5, 3, none, 3, 3, none}},
		{"no column", l.At(l.Column(Heading), times), nil},
	} {
		same := func(a, b float64) bool { return math.Abs(a-b) < 1e-12 || a != a && b != b }
		if !slices.EqualFunc(c.got, c.want, same) {
			t.Errorf("%s: got %v, want %v", c.name, c.got, c.want)
		}
	}
	if volts != "V" || converted != "V" {
		t.Errorf("units %q and %q", volts, converted)
	}
	bare, err := Read("run.csv", strings.NewReader(strings.ReplaceAll(text, "battery V", "other C")), Settings{})
	if err != nil {
		t.Error(err)
	} else if right, unit := bare.DriveAt(1, []float64{0}); unit != share || right[0] != 0.5 {
		t.Errorf("without the battery's volts: %v %s", right, unit)
	}
}
