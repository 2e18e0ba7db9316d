package sensing

import (
	"math"
	"testing"
)

func TestAStreamIsFixedBySeedAndName(t *testing.T) {
	a, b := Stream(7, "robot 0 inertial"), Stream(7, "robot 0 inertial")
	for i := range 100 {
		if x, y := a.Uint64(), b.Uint64(); x != y {
			t.Fatalf("draw %d: %d and %d", i, x, y)
		}
	}
}

// Independent streams: the sample correlation of n pairs has standard deviation 1/sqrt(n); five of them is the bound.
func TestStreamsOfOtherNamesAndSeedsAreUnrelated(t *testing.T) {
	const n = 20000
	for _, other := range []struct {
		seed uint64
		name string
	}{{7, "robot 1 inertial"}, {8, "robot 0 inertial"}, {7, ""}} {
		a, b := Stream(7, "robot 0 inertial"), Stream(other.seed, other.name)
		var sum float64
		for range n {
			sum += a.NormFloat64() * b.NormFloat64()
		}
		if c := sum / n; math.Abs(c) > 5/math.Sqrt(n) {
			t.Errorf("seed %d name %q: correlation %.4f", other.seed, other.name, c)
		}
	}
}
