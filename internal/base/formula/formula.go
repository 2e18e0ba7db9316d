// Package formula reads the small formulas that a user writes into a file: numbers, + - * /, comparisons, "and", "or",
// "not", "a ? b : c", a few functions, and terms that the file's format knows: count('core in sled'). A formula has no
// loops, no memory and no effects. It is checked whole when it is read; its value depends on its terms alone, and is
// the same on all processors.
//
// The language and what runs it are expr's (github.com/expr-lang/expr); most of that language is refused here.
package formula

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/checker"
	"github.com/expr-lang/expr/compiler"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"
	"github.com/expr-lang/expr/vm"
)

// What a formula may be at most. Each node is worked out once at most, so this bounds time and memory.
const (
	maxText  = 1000 // bytes
	maxNodes = 250
	budget   = 10 * maxNodes // of expr's own measure of memory
	maxValue = 1e6           // of a number written, and of what comes out
)

// Kind is what a formula, or a part of it, comes to.
type Kind int

const (
	Number Kind = iota
	Truth
)

func (k Kind) String() string { return [...]string{"a number", "a condition"}[k] }

// Word is what a formula may read by a name of the format's own: a number.
type Word struct {
	Name  string
	Of    []string // the known words of its first text in brackets
	What  string   // what they are: "kind of zone"; "" for a word without brackets
	Free  bool     // the first text may be left out
	How   []string // the known words of a second text, which may be left out: the first is usual
	Told  bool     // it is compared with a text, by == or !=, and has no brackets
	Sides bool     // there is one of the other side, other.name

	Unit  string             // SI, of what it reads; "" for a plain number
	Units []string           // the same for each of Of
	Check func(string) error // its text may be any that this takes, Of are examples
	Bare  bool               // its text may stand without quotes
}

// Term is a reading of a formula: the word, and the places of the texts among those known; -1 without any.
type Term struct {
	Word    string
	Of, How int
	Other   bool
	Text    string   // of a word that checks its text itself
	Inside  *Formula // of an Over: what it is over
	Portion float64  // of an Over that takes a share
}

// Formula is one that has been read. It is never changed, so many may share it.
type Formula struct {
	Text    string
	Terms   []Term // each once
	Unit    string // SI, of the number that it comes to, or of what it compares; "" for a plain one
	Negated string // of a formula that is a minus before all else: what stands behind it
	program *vm.Program
	gap     *vm.Program // of a comparison: see Gap
	left    *vm.Program // of a comparison: see Left
	negated bool        // it is one minus with all behind it
}

// Error is what is wrong with a formula, and at which byte.
type Error struct {
	At   int
	What string
}

func (e *Error) Error() string { return e.What }

// readings is what the program runs on.
type readings struct {
	V []float64 `expr:"v"`
}

// Parse reads a formula that is to come to a kind. The error, if any, is an *Error.
func Parse(text string, want Kind, words []Word) (f *Formula, err error) {
	return ParseOver(text, want, words, nil)
}

// ParseOver is Parse, with words that make one number of many readings.
func ParseOver(text string, want Kind, words []Word, overs []Over) (f *Formula, err error) {
	defer func() {
		if r := recover(); r != nil {
			f, err = nil, &Error{0, fmt.Sprintf("the formula cannot be read (%v)", r)}
		}
	}()
	if len(text) > maxText {
		return nil, &Error{0, fmt.Sprintf("the formula has %d characters: write at most %d, or part it into several rules",
			len(text), maxText)}
	}
	r := reader{words: words, overs: overs, config: language(words, overs)}
	r.measured = slices.ContainsFunc(words, func(w Word) bool { return w.Unit != "" || w.Units != nil })
	var from []int
	r.text, from = r.spelt(text)
	if f, err = r.whole(want); err != nil {
		if wrong, is := err.(*Error); is {
			wrong.At = min(from[min(wrong.At, len(from)-1)], max(len(text)-1, 0))
		}
		return nil, err
	}
	f.Text = text
	if behind, is := strings.CutPrefix(strings.TrimSpace(text), "-"); is && f.negated {
		f.Negated = strings.TrimSpace(behind)
	}
	return f, nil
}

// whole reads the text.
func (r *reader) whole(want Kind) (*Formula, error) {
	tree, err := parser.ParseWithConfig(r.text, r.config)
	if err != nil {
		return nil, plainly(r.text, err)
	}
	got := r.read(&tree.Node)
	if r.wrong == nil && got.Kind != want {
		r.fail(tree.Node, "the formula comes to %s, but %s is needed", got.Kind, want)
	}
	if r.wrong != nil {
		return nil, r.wrong
	}
	f := &Formula{Terms: r.terms, Unit: got.unit}
	if f.program, err = r.compiled(tree.Node, want); err == nil {
		f.gap, f.left, err = r.sidesOf(tree.Node)
	}
	_, minus := tree.Node.(*ast.UnaryNode)
	f.negated = minus && want == Number
	return f, err
}

// compiled is what runs a part that has been read.
func (r *reader) compiled(n ast.Node, want Kind) (*vm.Program, error) {
	tree := &parser.Tree{Node: n, Source: file.NewSource(r.text)}
	r.config.Expect = map[Kind]reflect.Kind{Number: reflect.Float64, Truth: reflect.Bool}[want]
	if _, err := checker.Check(tree, r.config); err != nil {
		return nil, plainly(r.text, err)
	}
	program, err := compiler.Compile(tree, r.config)
	if err != nil {
		return nil, &Error{0, fmt.Sprintf("the formula cannot be read (%v)", err)}
	}
	return program, nil
}

// language is expr with nothing of its own: no functions that read a clock, draw, or loop.
func language(words []Word, overs []Over) *conf.Config {
	config := conf.New(&readings{})
	for name := range config.Builtins {
		config.Disabled[name] = true
	}
	clear(config.Builtins)
	config.DisableIfOperator = true
	config.MaxNodes = maxNodes
	for _, w := range words {
		config.Functions[w.Name] = stub(w.Name)
	}
	for _, o := range overs {
		config.Functions[o.Name] = stub(o.Name)
	}
	for name := range functions {
		config.Functions[name] = functions[name].builtin(name)
	}
	config.Functions[quotient] = function{2, 2, divide}.builtin(quotient)
	return config
}

// Runner works formulas out. One goroutine owns it.
type Runner struct {
	vm  vm.VM
	env readings
}

// Number is what a formula comes to with its terms' values, in their order: a finite number of at most a million.
func (r *Runner) Number(f *Formula, values []float64) float64 {
	x, _ := r.run(f, f.program, values).(float64)
	return within(x)
}

// within keeps a number to what a formula may come to.
func within(x float64) float64 {
	switch {
	case math.IsNaN(x):
		return 0
	case x > maxValue:
		return maxValue
	case x < -maxValue:
		return -maxValue
	}
	return x
}

// Holds is whether a condition is met.
func (r *Runner) Holds(f *Formula, values []float64) bool {
	is, _ := r.run(f, f.program, values).(bool)
	return is
}

// Gap is how far a condition is from being met, 0 where it is: of a comparison the difference of its sides, of any
// other 1.
func (r *Runner) Gap(f *Formula, values []float64) float64 {
	switch {
	case r.Holds(f, values):
		return 0
	case f.gap == nil:
		return 1
	}
	x, _ := r.run(f, f.gap, values).(float64)
	return math.Abs(within(x))
}

// Left is what the left side of a comparison comes to; is tells whether it is one.
func (r *Runner) Left(f *Formula, values []float64) (x float64, is bool) {
	if f.left == nil {
		return 0, false
	}
	x, _ = r.run(f, f.left, values).(float64)
	return within(x), true
}

func (r *Runner) run(f *Formula, program *vm.Program, values []float64) any {
	r.vm.MemoryBudget = budget
	r.env.V = values
	x, err := r.vm.Run(program, &r.env)
	if err != nil {
		panic(fmt.Sprintf("formula %q: %v", f.Text, err)) // read whole and checked before
	}
	return x
}
