package units

import "fmt"

// Counted is a number with its noun, "1 rehearsal", "12 rehearsals", "2.5 points". The noun takes an s unless the
// number is 1.
func Counted[N int | float64](n N, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return fmt.Sprintf("%v %s", n, noun)
}
