package fields

import "fmt"

// BareText is the file of a floor on which nothing is met, m, and of one autonomous phase, s.
func BareText(title string, length, width, seconds float64) string {
	return fmt.Sprintf(`title = %q
tile = "100 mm"
size = ["%.4f m", "%.4f m"]

[[sides]]
name = "chalk"
colour = "#e8e4d8"
mark = "square"

[[phases]]
name = "drive"
length = "%.2f s"
control = "autonomous"

[[sessions]]
name = "drive"
phases = ["drive"]
`, title, length, width, seconds)
}
