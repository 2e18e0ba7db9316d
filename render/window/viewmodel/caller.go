package viewmodel

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"chalkfield/scripting/literal"
)

var lineWords = regexp.MustCompile(`\(line ([0-9]+)\)`)

// WithCallers tells beside a line of the routine's own text, "(line 10)", which function it is in and who calls that.
func (d *Model) WithCallers(words string) string {
	return lineWords.ReplaceAllStringFunc(words, func(found string) string {
		line, err := strconv.Atoi(lineWords.FindStringSubmatch(found)[1])
		if err != nil {
			return found
		}
		for _, f := range literal.Functions(d.main().Text) {
			if line < f.First || line > f.Last || len(f.Called) == 0 {
				continue
			}
			var from []string
			for _, caller := range f.Called {
				from = append(from, strconv.Itoa(caller))
			}
			return fmt.Sprintf("(line %d, in %s called by line %s)", line, f.Name, strings.Join(from, ", "))
		}
		return found
	})
}
