package window

import "testing"

func TestNumbersHaveTheDigitsThatAReaderCanUse(t *testing.T) {
	for v, want := range map[float64]string{0: "0.00", -1e-9: "0.00", 0.0012: "0.0012", -0.05: "-0.0500", 0.5: "0.50",
		12.34: "12.3", -123.4: "-123", 654321: "654321", 1e12: "1e+12", -2500000: "-2.5e+06"} {
		if got := number(v); got != want {
			t.Errorf("%g is told as %q, want %q", v, got, want)
		}
	}
}
