package formula

import (
	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/vm"
)

// Over is a word that makes one number of many readings: mean(score) works its inside out for each of them.
type Over struct {
	Name  string
	Of    Kind   // what its inside comes to
	Share bool   // a share stands before it: lowest(10%, score)
	Usual string // the word that is its inside: it has no other
}

// over reads one. Its inside is a formula of its own, in which no Over stands.
func (r *reader) over(at *ast.Node, n *ast.CallNode, o *Over) part {
	args, t := n.Arguments, Term{Word: o.Name, Of: -1, How: -1}
	if o.Share {
		share, is := shareOf(args)
		if !is {
			return r.fail(n, "%s needs a share first: write %s", o.Name, o.example())
		}
		t.Portion, args = share, args[1:]
	}
	if o.Usual != "" {
		args = append(args, &ast.IdentifierNode{Value: o.Usual})
	}
	if len(args) != 1 {
		return r.fail(n, "%s cannot have %d in its brackets: write %s", o.Name, len(n.Arguments), o.example())
	}
	inside := reader{text: r.text, words: r.words, outer: r.overs, config: r.config, measured: r.measured}
	unit := inside.need(&args[0], o.Of)
	if r.wrong == nil {
		r.wrong = inside.wrong
	}
	if r.wrong != nil {
		return part{}
	}
	program, err := r.compiled(args[0], o.Of)
	if err != nil {
		r.wrong = err
		return part{}
	}
	if o.Of == Truth {
		unit = "" // a share is plain
	}
	t.Inside = &Formula{Text: r.text, Terms: inside.terms, Unit: unit, program: program}
	r.reading(at, t)
	return part{Number, unit}
}

// shareOf is a share of more than nothing and at most all: 10%, or 0.1.
func shareOf(args []ast.Node) (share float64, is bool) {
	if len(args) == 0 {
		return 0, false
	}
	switch n := args[0].(type) {
	case *ast.StringNode:
		share, is = percent(n.Value)
	case *ast.FloatNode:
		share, is = n.Value, true
	case *ast.IntegerNode:
		share, is = float64(n.Value), true
	}
	return share, is && share > 0 && share <= 1
}

// example is how it is written.
func (o *Over) example() string {
	inside := map[Kind]string{Number: "score", Truth: "score >= 30"}[o.Of]
	switch {
	case o.Share && o.Usual != "":
		return o.Name + "(10%)"
	case o.Share:
		return o.Name + "(10%, " + inside + ")"
	}
	return o.Name + "(" + inside + ")"
}

// sidesOf are what tells how far apart the sides of a comparison are, and its left side; nil for what is none.
func (r *reader) sidesOf(n ast.Node) (gap, left *vm.Program, err error) {
	compares, _ := n.(*ast.BinaryNode)
	if compares == nil {
		return nil, nil, nil
	}
	switch compares.Operator {
	case "<", "<=", ">", ">=":
		difference := &ast.BinaryNode{Operator: "-", Left: compares.Left, Right: compares.Right}
		if gap, err = r.compiled(difference, Number); err == nil {
			left, err = r.compiled(compares.Left, Number)
		}
	}
	return gap, left, err
}
