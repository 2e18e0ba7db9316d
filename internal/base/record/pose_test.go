package record

import (
	"testing"

	"chalkfield/internal/base/units"
)

func TestNoPlaceHasANegativeZero(t *testing.T) {
	for _, c := range []struct {
		pose Pose
		want string
	}{
		{Pose{-0.0001, -0.0004, -0.0002}, "(0, 0, 0.0 deg)"},
		{Pose{-0.0006, 1.2, 0.5}, "(-1, 1200, 28.6 deg)"},
	} {
		if got := c.pose.In(units.Metric); got != c.want {
			t.Errorf("%v: %q, want %q", [3]float64(c.pose), got, c.want)
		}
	}
}
