package account

import "fmt"

// Counted is a number with its noun, "1 rehearsal", "12 rehearsals". The noun takes an s for more than one.
func Counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
