package formula

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"chalkfield/internal/base/units"

	"github.com/expr-lang/expr/ast"
)

// spelling is a text as expr's parser takes it, and where each of its bytes was.
type spelling struct {
	strings.Builder
	from []int
}

func (s *spelling) add(words string, at, step int) {
	s.WriteString(words)
	for i := range len(words) {
		s.from = append(s.from, at+i*step)
	}
}

func (s *spelling) quote(words string, at int) {
	s.add("'", at, 0)
	s.add(words, at, 1)
	s.add("'", at+len(words)-1, 0)
}

// spelt puts quotes about quantities, and about texts that may stand without; and gives where each byte, and the end,
// was.
func (r *reader) spelt(text string) (string, []int) {
	var s spelling
	for i := 0; i < len(text); {
		rest := text[i:]
		word, quantity := word.FindString(rest), ""
		if r.measured {
			quantity = r.quantityAt(rest)
		}
		switch c := rest[0]; {
		case c == '\'' || c == '"':
			end := len(rest)
			if closing := strings.IndexByte(rest[1:], c); closing >= 0 {
				end = closing + 2
			}
			s.add(rest[:end], i, 1)
			i += end
		case quantity != "":
			s.quote(quantity, i)
			i += len(quantity)
		case word != "":
			s.add(word, i, 1)
			i += len(word)
			if start, stop := r.bare(word, text[i:]); stop > start {
				s.add(text[i:i+start], i, 1)
				s.quote(text[i+start:i+stop], i+start)
				i += stop
			}
		default:
			s.add(rest[:1], i, 1)
			i++
		}
	}
	return s.String(), append(s.from, len(text))
}

var (
	number   = regexp.MustCompile(`^([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?`)
	word     = regexp.MustCompile(`^([A-Za-z_][A-Za-z_0-9]*|[0-9.]+)`)
	brackets = regexp.MustCompile(`^\s*\(\s*([^'"()]*[^'"()\s])\s*\)`)
	unitWord = regexp.MustCompile(`^\s*(%|[A-Za-z]+(/[A-Za-z]+)*(\^[0-9])?)`)
)

// quantityAt is the number with its unit with which a text begins; "" for anything else.
func (r *reader) quantityAt(text string) string {
	figure := number.FindString(text)
	unit := unitWord.FindStringSubmatch(text[len(figure):])
	if figure == "" || unit == nil || unit[1] == "and" || unit[1] == "or" || unit[1] == "not" ||
		strings.HasPrefix(strings.TrimSpace(text[len(figure+unit[0]):]), "(") { // 0.5 sd(score): a sign is missing
		return ""
	}
	return figure + unit[0]
}

// bare is where the text of a word stands that has no quotes, in what follows the word.
func (r *reader) bare(word, rest string) (start, stop int) {
	for _, w := range r.words {
		if m := brackets.FindStringSubmatchIndex(rest); w.Name == word && w.Bare && m != nil {
			return m[2], m[3]
		}
	}
	return 0, 0
}

// quantity reads a number with its unit.
func (r *reader) quantity(at *ast.Node, n *ast.StringNode) part {
	if share, is := percent(n.Value); is {
		return r.literal(at, share)
	}
	figure := number.FindString(n.Value)
	if figure == "" {
		return r.fail(n, "the text %q stands alone: it belongs into brackets", n.Value)
	}
	unit := strings.TrimSpace(n.Value[len(figure):])
	si, known := units.Of(unit)
	if !known && slices.Contains(r.known(), unit) {
		return r.fail(n, "between %s and %s a sign is missing: write %s*%s", figure, unit, figure, unit)
	}
	if !known {
		return r.fail(n, "%q is no unit: write 40 mm, 90 deg, 5 s, 6 bar or another of `chalkfield guide units`", unit)
	}
	value, _, err := units.Parse(si, n.Value)
	if err != nil {
		return r.fail(n, "%v", err)
	}
	r.literal(at, value)
	return part{Number, si}
}

// percent reads 10%.
func percent(text string) (share float64, is bool) {
	figure, is := strings.CutSuffix(text, "%")
	x, err := strconv.ParseFloat(strings.TrimSpace(figure), 64)
	return x / 100, is && err == nil
}

// together is the unit of a product or a quotient: kept where one of the two is plain, or gone. What would be another
// quantity counts as plain.
func together(operator, left, right string) string {
	switch {
	case right == "":
		return left
	case left == "" && operator == "*":
		return right
	}
	return ""
}

// alike is the unit of two parts that must be of one quantity: 0 is of all.
func (r *reader) alike(at ast.Node, left, right string, a, b ast.Node) string {
	switch {
	case left == right:
		return left
	case left == "" && isNumber(a, 0):
		return right
	case right == "" && isNumber(b, 0):
		return left
	}
	r.fail(at, "%s stands with %s: %s", called(left), called(right), insteadOf(left, right, a, b))
	return left
}

func isNumber(n ast.Node, x float64) bool {
	f, is := n.(*ast.FloatNode)
	return is && f.Value == x
}

// called is what a unit measures.
func called(unit string) string {
	if unit == "" {
		return "a plain number"
	}
	return units.Called(unit)
}

// insteadOf says what to write where quantities do not go together.
func insteadOf(left, right string, a, b ast.Node) string {
	if left == "" {
		left, right, a, b = right, left, b, a
	}
	names := units.Names(left)
	if x, is := b.(*ast.FloatNode); is && right == "" {
		return units.Spelt(x.Value, left)
	}
	return "divide what has a unit by how much of it counts as 1, as in way / 1 m for a length, here by 1 " + names[0]
}
