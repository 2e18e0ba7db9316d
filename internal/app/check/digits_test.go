package check

import "testing"

func TestALimitAndWhatWasFoundDifferInPrint(t *testing.T) {
	for _, c := range []struct {
		limit, found float64
		decimals     int
		want         [2]string
	}{
		{50, 62.3, 0, [2]string{"50", "62"}},
		{50, 50.3, 0, [2]string{"50.0", "50.3"}},
		{25.4, 31.8, 0, [2]string{"25.4", "31.8"}},
		{0.04, 0.041, 1, [2]string{"0.040", "0.041"}},
		{12, 11.999, 2, [2]string{"12.000", "11.999"}},
		{0, 0.0000001, 1, [2]string{"0.000000", "0.000000"}}, // a record has no more decimals
		{1, 1, 1, [2]string{"1.0", "1.0"}},
	} {
		if due, is := apartIn(c.limit, c.found, c.decimals); due != c.want[0] || is != c.want[1] {
			t.Errorf("apartIn(%g, %g, %d) = %s, %s, want %v", c.limit, c.found, c.decimals, due, is, c.want)
		}
	}
}
