package fields

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"chalkfield/internal/base/formula"
)

// Formula is an expression of a rule; see package formula.
type Formula struct {
	*formula.Formula // nil: none
	text             string
	given            bool
}

// UnmarshalText takes what the file says; it is read when all that it may name is known.
func (f *Formula) UnmarshalText(text []byte) error {
	f.text, f.given = string(text), true
	return nil
}

// The words of formulas.
const (
	WordCount     = "count"           // of a rule, for this side
	WordPoints    = "points"          // by a rule
	WordRobots    = "robots"          // of this side
	WordIn        = "robots_in"       // a kind of zone, its own or nobody's
	WordTouching  = "robots_touching" // a kind of goal, its own or nobody's
	WordAtWall    = "robots_at_wall"
	WordHeld      = "held" // pieces of a kind, or all, by this side's robots
	WordTime      = "time" // s since the session began
	WordTimeLeft  = "time_left"
	WordPhaseLeft = "phase_left"
	WordPhase     = "phase"
)

// InsideWords are the ways to be in a zone, in the order of a term's How.
var InsideWords = []Inside{Centre, All, Any}

// naming are the forms in which a formula names what is called so in the file: a rule, a piece kind, ...
var naming = map[string]string{
	"rule": `\b(?:` + WordCount + `|` + WordPoints + `)\(\s*`, "goal kind": `\b` + WordTouching + `\(\s*`,
	"piece kind": `\b` + WordHeld + `\(\s*`, "phase": `\b` + WordPhase + `\s*[=!]=\s*`,
}

// Renamed is a formula's text with another name for a thing of the file, such as a "rule".
func Renamed(text, what, old, name string) string {
	form, named := naming[what]
	if !named {
		return text
	}
	for _, quote := range []string{"'", `"`} {
		other := quote
		if strings.Contains(name, quote) {
			other = map[string]string{"'": `"`, `"`: "'"}[quote]
		}
		was := regexp.MustCompile(`(` + form + `)` + regexp.QuoteMeta(quote+old+quote))
		text = was.ReplaceAllString(text, "${1}"+strings.ReplaceAll(other+name+other, "$", "$$"))
	}
	return text
}

// words is what a formula of this field may read.
func (b *builder) words() []formula.Word {
	f := b.field
	rules := namesOf(f.Rules, func(r Rule) string { return r.Name })
	return []formula.Word{
		{Name: WordCount, What: "rule", Of: rules, Sides: true},
		{Name: WordPoints, What: "rule", Of: rules, Sides: true},
		{Name: WordRobots, Sides: true},
		{Name: WordIn, What: "kind of zone", Of: f.ZoneKinds(), Sides: true,
			How: namesOf(InsideWords, func(i Inside) string { return string(i) })},
		{Name: WordTouching, What: "kind of goal", Of: namesOf(f.GoalKinds, func(k GoalKind) string { return k.Name }),
			Sides: true},
		{Name: WordAtWall, Sides: true},
		{Name: WordHeld, What: "kind of piece", Of: namesOf(f.PieceKinds, func(k PieceKind) string { return k.Name }),
			Free: true, Sides: true},
		{Name: WordTime}, {Name: WordTimeLeft}, {Name: WordPhaseLeft},
		{Name: WordPhase, What: "phase", Of: namesOf(f.Phases, func(p Phase) string { return p.Name }), Told: true},
	}
}

// formulas reads the formulas of all rules, and finds the order of counting.
func (b *builder) formulas() {
	words := b.words()
	for i := range b.field.Rules {
		r, path := &b.field.Rules[i], fmt.Sprintf("rules[%d]", i)
		b.formula(path+".points", &r.Worth, formula.Number, words)
		b.formula(path+".when", &r.When, formula.Truth, words)
		if r.Kind == ByFormula && b.at.Err() == nil && len(r.Terms()) == 0 {
			b.at.Errorf(path, "the rule reads nothing, so it would always give the same: write "+
				"when = \"robots_in('camp') == 2\", or points that depend on something")
		}
	}
	b.order()
}

func (b *builder) formula(path string, f *Formula, kind formula.Kind, words []formula.Word) {
	if !f.given {
		return
	}
	read, err := formula.Parse(f.text, kind, words)
	if wrong, _ := err.(*formula.Error); wrong != nil {
		b.at.TextErrorf(path, wrong.At, "%s", wrong.What)
	}
	f.Formula = read
}

// Terms are all that a rule's formulas read.
func (r *Rule) Terms() (terms []formula.Term) {
	for _, f := range []Formula{r.Worth, r.When} {
		if f.Formula != nil {
			terms = append(terms, f.Terms...)
		}
	}
	return terms
}

// order lists the rules as they are counted: pieces in goals first, because other rules multiply what they are worth,
// formulas last and after what they read. Formulas that read each other are an error at the first of them.
func (b *builder) order() {
	rules := b.field.Rules
	var order []int
	for _, first := range []bool{true, false} {
		for i, r := range rules {
			if r.Kind != ByFormula && r.CountsInGoals() == first {
				order = append(order, i)
			}
		}
	}
	var path []int // of rules that wait for what they read
	var visit func(i int)
	visit = func(i int) {
		if at := slices.Index(path, i); at >= 0 {
			b.circle(append(path[at:], i))
		}
		if b.at.Err() != nil || slices.Contains(order, i) {
			return
		}
		path = append(path, i)
		for _, t := range rules[i].Terms() {
			if t.Word == WordCount || t.Word == WordPoints {
				visit(t.Of)
			}
		}
		path = path[:len(path)-1]
		order = append(order, i)
	}
	for i := range rules {
		visit(i)
	}
	b.field.Counting = order
}

// circle tells of rules that read each other.
func (b *builder) circle(rules []int) {
	names := make([]string, len(rules))
	for k, i := range rules {
		names[k] = fmt.Sprintf("%q", b.field.Rules[i].Name)
	}
	b.at.Errorf(fmt.Sprintf("rules[%d]", rules[0]), "the rule reads itself (%s): let one of them read something else",
		strings.Join(names, " reads "))
}
