package logfile

import (
	"fmt"
	"strings"
	"testing"
)

// An encoder of a robot that stands wavers between two of its steps: that is no drive.
func TestAWaveringEncoderStands(t *testing.T) {
	var out strings.Builder
	out.WriteString("time s,left V,right V,left travel mm,right travel mm\n")
	for i := range 500 {
		left := 0
		if i%97 < 9 {
			left = 4
		}
		fmt.Fprintf(&out, "%.2f,0,0,%d,0\n", float64(i)*0.02, left)
	}
	l, err := Read("stand.csv", strings.NewReader(out.String()), Settings{})
	if err != nil {
		t.Fatal(err)
	}
	if d := Describe(l).Drives; len(d) != 1 || d[0].What != StandStill {
		t.Errorf("drives %+v", d)
	}
}
