package formula

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"chalkfield/internal/base/wording"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
)

// part is what a part of a formula comes to: a number is of a quantity, named by its SI unit, or plain.
type part struct {
	Kind
	unit string
}

// reader goes through what expr's parser gave, finds what it comes to, and puts readings for words, so that what is
// left is arithmetic of float64 alone.
type reader struct {
	text  string
	words []Word
	overs []Over
	outer []Over // within one of them: none may stand here
	terms []Term
	wrong error // the first

	config   *conf.Config
	measured bool // some word is of a quantity: numbers have units
}

// fail notes what is wrong at a node.
func (r *reader) fail(n ast.Node, format string, args ...any) part {
	if r.wrong == nil {
		r.wrong = &Error{offset(r.text, n.Location().From), fmt.Sprintf(format, args...)}
	}
	return part{}
}

// offset is the byte at which a character of the text begins.
func offset(text string, rune int) int {
	for i := range text {
		if rune == 0 {
			return i
		}
		rune--
	}
	return len(text)
}

// plainly is an error of expr's in our words.
func plainly(text string, err error) error {
	var e *file.Error
	if !errors.As(err, &e) {
		return &Error{0, fmt.Sprintf("the formula cannot be read (%v)", err)}
	}
	return &Error{min(offset(text, e.From), max(len(text)-1, 0)), inOurWords(e.Message)}
}

// inOurWords are what expr's parser says, and what is to be written instead.
func inOurWords(what string) string {
	for _, one := range [...]struct{ theirs, ours string }{
		{"exceeds maximum", "the formula is too long: part it into several rules"},
		{"EOF", "the formula ends too early: something is missing"},
		{"end of expression", "the formula ends too early: something is missing"},
		{"float literal", tooLarge}, {"integer literal", tooLarge},
		{"number syntax", noNumber}, {"hex literal", noNumber}, {"binary literal", noNumber}, {"octal literal", noNumber},
		{"not terminated", "the quote that closes the text is missing"},
		{"unrecognized character", "this sign means nothing in a formula: leave it out"},
		{`token Operator("=")`, "one = says nothing: write == to compare"},
	} {
		if strings.Contains(what, one.theirs) {
			return one.ours
		}
	}
	m := token.FindStringSubmatch(what)
	switch {
	case m == nil:
		return "the formula cannot be read here (" + strings.ToLower(what) + ")"
	case m[2] == ")":
		return "this ) closes nothing: leave it out, or write ( before it"
	case m[1] == "Operator" || m[1] == "Bracket" && m[2] != "(":
		return fmt.Sprintf("before %s something is missing: a number, a word or a bracket", m[2])
	}
	return fmt.Sprintf("before %s something is missing: *, + or another sign", m[2])
}

var token = regexp.MustCompile(`^unexpected token ([A-Za-z]+)\("(.*)"\)`)

const (
	tooLarge = "the number is too large: write at most 1000000"
	noNumber = "this is no number: write 12 or 0.5"
)

// need reads a part that must come to a kind.
func (r *reader) need(at *ast.Node, want Kind) (unit string) {
	got := r.read(at)
	if got.Kind != want {
		r.fail(*at, "this is %s, but %s is needed", got.Kind, want)
	}
	return got.unit
}

func (r *reader) read(at *ast.Node) part {
	switch n := (*at).(type) {
	case *ast.IntegerNode:
		return r.literal(at, float64(n.Value))
	case *ast.FloatNode:
		return r.literal(at, n.Value)
	case *ast.BoolNode:
		return part{Kind: Truth}
	case *ast.UnaryNode:
		if n.Operator == "not" || n.Operator == "!" {
			r.need(&n.Node, Truth)
			return part{Kind: Truth}
		}
		return part{Number, r.need(&n.Node, Number)}
	case *ast.BinaryNode:
		return r.binary(at, n)
	case *ast.ConditionalNode:
		r.need(&n.Cond, Truth)
		first := r.read(&n.Exp1)
		if second := r.need(&n.Exp2, first.Kind); first.Kind == Number {
			first.unit = r.alike(n, first.unit, second, n.Exp1, n.Exp2)
		}
		return first
	case *ast.IdentifierNode:
		return r.word(at, n.Value, false, nil)
	case *ast.CallNode:
		return r.call(at, n)
	case *ast.MemberNode:
		name, _ := n.Property.(*ast.StringNode)
		if of, _ := n.Node.(*ast.IdentifierNode); of != nil && of.Value == "other" && name != nil {
			return r.word(at, name.Value, true, nil)
		}
	case *ast.StringNode:
		if r.measured {
			return r.quantity(at, n)
		}
		return r.fail(n, "the text %q stands alone: it belongs into brackets, count('...')", n.Value)
	case *ast.BuiltinNode:
		return r.fail(n, "there is no %s() in a formula: %s", n.Name, wording.Instead(n.Name, r.known()))
	}
	return r.fail(*at, "a formula has numbers, words with texts in brackets, + - * /, comparisons, and, or, not, "+
		"a ? b : c, and %s: write it with these", strings.Join(slices.Sorted(maps.Keys(functions)), ", "))
}

func (r *reader) literal(at *ast.Node, x float64) part {
	if !(x <= maxValue) {
		r.fail(*at, "%g is too large a number: write at most %g", x, maxValue)
	}
	ast.Patch(at, &ast.FloatNode{Value: x})
	return part{}
}

func (r *reader) binary(at *ast.Node, n *ast.BinaryNode) part {
	switch n.Operator {
	case "+", "-":
		left, right := r.need(&n.Left, Number), r.need(&n.Right, Number)
		return part{Number, r.alike(n, left, right, n.Left, n.Right)}
	case "*", "/":
		left, right := r.need(&n.Left, Number), r.need(&n.Right, Number)
		if n.Operator == "/" && isNumber(n.Right, 0) {
			r.fail(n.Right, "this is divided by 0: write another number")
		}
		if n.Operator == "/" {
			ast.Patch(at, &ast.CallNode{Callee: &ast.IdentifierNode{Value: quotient}, Arguments: []ast.Node{n.Left, n.Right}})
		}
		return part{Number, together(n.Operator, left, right)}
	case "<", "<=", ">", ">=":
		left, right := r.need(&n.Left, Number), r.need(&n.Right, Number)
		return part{Truth, r.alike(n, left, right, n.Left, n.Right)}
	case "and", "or", "&&", "||":
		r.need(&n.Left, Truth)
		r.need(&n.Right, Truth)
		return part{Kind: Truth}
	case "==", "!=":
		if !r.told(n, &n.Left, &n.Right) && !r.told(n, &n.Right, &n.Left) {
			left := r.read(&n.Left)
			if right := r.need(&n.Right, left.Kind); left.Kind == Number {
				r.alike(n, left.unit, right, n.Left, n.Right)
			}
		}
		return part{Kind: Truth}
	}
	return r.fail(n, "there is no %s in a formula: it has + - * / < <= > >= == != and or not", n.Operator)
}

// told reads phase == 'autonomous': a reading that is 1 where it holds.
func (r *reader) told(n *ast.BinaryNode, left, right *ast.Node) bool {
	name, _ := (*left).(*ast.IdentifierNode)
	if name == nil {
		return false
	}
	i := slices.IndexFunc(r.words, func(w Word) bool { return w.Told && w.Name == name.Value })
	if i < 0 {
		return false
	}
	if text, _ := (*right).(*ast.StringNode); text == nil {
		r.fail(*right, "%s is compared with a name: write %s == %s", name.Value, name.Value, quoted(r.words[i].Of[0]))
	} else if of := r.place(text, r.words[i].What, r.words[i].Of); of >= 0 {
		r.reading(left, Term{Word: name.Value, Of: of, How: -1})
	}
	ast.Patch(right, &ast.FloatNode{Value: 1})
	return true
}

// reading puts the reading of a term in a node's place.
func (r *reader) reading(at *ast.Node, t Term) {
	i := slices.Index(r.terms, t)
	if i < 0 {
		i = len(r.terms)
		r.terms = append(r.terms, t)
	}
	ast.Patch(at, &ast.MemberNode{Node: &ast.IdentifierNode{Value: "v"}, Property: &ast.IntegerNode{Value: i}})
}

func (r *reader) call(at *ast.Node, n *ast.CallNode) part {
	switch callee := n.Callee.(type) {
	case *ast.IdentifierNode:
		if f, known := functions[callee.Value]; known {
			if len(n.Arguments) < f.least || len(n.Arguments) > f.most {
				return r.fail(n, "%s takes %s, but %d stand here", callee.Value, counted(f.least, f.most), len(n.Arguments))
			}
			unit := r.need(&n.Arguments[0], Number)
			for i := 1; i < len(n.Arguments); i++ {
				unit = r.alike(n, unit, r.need(&n.Arguments[i], Number), n.Arguments[0], n.Arguments[i])
			}
			return part{Number, unit}
		}
		if i := slices.IndexFunc(r.overs, func(o Over) bool { return o.Name == callee.Value }); i >= 0 {
			return r.over(at, n, &r.overs[i])
		}
		return r.word(at, callee.Value, false, &n.Arguments)
	case *ast.MemberNode:
		of, _ := callee.Node.(*ast.IdentifierNode)
		name, _ := callee.Property.(*ast.StringNode)
		if of != nil && of.Value == "other" && name != nil {
			return r.word(at, name.Value, true, &n.Arguments)
		}
	}
	return r.fail(n, "this cannot be called: write a word of %s", strings.Join(r.known(), ", "))
}

func counted(least, most int) string {
	if least == most {
		return fmt.Sprintf("%d number", least)
	}
	return fmt.Sprintf("%d to %d numbers", least, most)
}

// known are all names that a formula may use.
func (r *reader) known() (names []string) {
	for _, w := range r.words {
		names = append(names, w.Name)
	}
	for _, o := range r.overs {
		names = append(names, o.Name)
	}
	return append(names, slices.Sorted(maps.Keys(functions))...)
}

func quoted(text string) string { return "'" + strings.ReplaceAll(text, "'", `\'`) + "'" }
