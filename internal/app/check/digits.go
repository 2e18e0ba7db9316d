package check

import (
	"math"
	"strconv"
)

// apartIn prints a limit and what was found in its place, with as many decimals (no fewer than given) as the limit
// needs and as it takes for the two to differ.
func apartIn(limit, found float64, decimals int) (string, string) {
	const most = 6 // decimals that a record has
	for ; ; decimals++ {
		due, is := strconv.FormatFloat(limit, 'f', decimals, 64), strconv.FormatFloat(found, 'f', decimals, 64)
		shown, _ := strconv.ParseFloat(due, 64)
		differ := due != is || math.Abs(limit-found) < 1e-9
		if decimals >= most || differ && math.Abs(shown-limit) <= 1e-3*math.Abs(limit) {
			return due, is
		}
	}
}
