package tomlfile

import (
	"fmt"
	"regexp"
)

var (
	bareQuantity = regexp.MustCompile(`[-+]?\d[\d._]*\s*[A-Za-z][A-Za-z0-9/^()]*`)
	bareWord     = regexp.MustCompile(`[A-Za-z][A-Za-z0-9_ -]*`)
)

// hint says what to write for the two slips that beginners make most: a quantity and a name without quotes. It gives ""
// unless one of them stands at the byte where the grammar broke.
func hint(line string, at int) string {
	for _, span := range bareQuantity.FindAllStringIndex(line, -1) {
		if span[0] <= at && at < span[1] {
			return fmt.Sprintf(": a value with a unit stands in quotes: write %q", line[span[0]:span[1]])
		}
	}
	for _, span := range bareWord.FindAllStringIndex(line, -1) {
		if span[0] == at && at > 0 && (line[at-1] == ' ' || line[at-1] == '=' || line[at-1] == '[' || line[at-1] == ',') {
			return fmt.Sprintf(": a text stands in quotes: write %q", line[span[0]:span[1]])
		}
	}
	return ""
}
