package fields

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// ruleForm says which keys a kind of rule has, besides name, kind and points, and whose points it may be. The first
// credit is the usual one.
type ruleForm struct {
	kind    RuleKind
	needs   []string
	may     []string
	credits []Credit
}

var ruleForms = []ruleForm{
	{PieceInGoal, []string{"points"}, []string{"pieces", "goals", "credit", "count"}, []Credit{ByScorer, ByPiece, ByGoal}},
	{PieceInZone, []string{"points", "zone"}, []string{"pieces", "inside", "credit", "count"},
		[]Credit{ByScorer, ByPiece, ByZone}},
	{GoalInZone, []string{"zone"}, []string{"points", "goals", "inside", "credit", "times", "count"},
		[]Credit{ByZone, ByGoal}},
	{RobotInZone, []string{"points", "zone"}, []string{"inside", "count"}, nil},
	{PhaseWinner, []string{"points"}, []string{"phase", "draw"}, nil},
	{LineCrossed, []string{"points", "line"}, []string{"phase"}, nil},
	{ByFormula, []string{"points"}, []string{"when"}, nil},
}

// ruleExamples are what an error tells to write for a key that a rule must have.
var ruleExamples = map[string]string{"points": "points = 2", "zone": `zone = "camp"`, "line": `line = "centre line"`}

func (b *builder) rules() {
	rules := b.field.Rules
	b.few("rules", len(rules), maxListed)
	kinds := namesOf(ruleForms, func(f ruleForm) string { return string(f.kind) })
	for i := range rules {
		path := fmt.Sprintf("rules[%d]", i)
		b.name(path+".name", rules[i].Name)
		if k := b.at.Index(path+".kind", "kind of rule", string(rules[i].Kind), kinds); k >= 0 {
			b.ruleKeys(path, &rules[i], ruleForms[k])
			b.rule(path, &rules[i], ruleForms[k])
		}
	}
	b.unique("rule", len(rules), func(i int) (string, string) { return fmt.Sprintf("rules[%d].name", i), rules[i].Name })
	b.formulas()
	if b.at.Err() == nil {
		for i, r := range rules {
			b.ruleCounts(fmt.Sprintf("rules[%d]", i), r)
		}
	}
}

// ruleKeys checks that a rule has the keys of its kind and no others.
func (b *builder) ruleKeys(path string, r *Rule, form ruleForm) {
	known := slices.Concat([]string{"name", "kind"}, form.needs, form.may)
	for _, key := range b.at.Keys(path) {
		if !slices.Contains(known, key) {
			b.at.KeyErrorf(path+"."+key, "a rule of the kind %q does not use %s: leave it out (it uses %s)", form.kind, key,
				strings.Join(known[2:], ", "))
		}
	}
	if r.Worth.given && form.kind != ByFormula {
		b.at.Errorf(path+".points", "a number without quotes belongs here: write points = 2, or kind = %q", ByFormula)
	}
	for _, key := range form.needs {
		if !b.at.Has(path + "." + key) {
			b.at.Errorf(path+"."+key, "a rule of the kind %q needs the key %q: write, for example, %s", form.kind, key,
				ruleExamples[key])
		}
	}
}

// rule completes the words that a rule leaves out, each with its usual one.
func (b *builder) rule(path string, r *Rule, form ruleForm) {
	for _, key := range []string{"pieces", "goals"} {
		if b.at.Has(path+"."+key) && b.at.Length(path+"."+key) == 0 {
			b.at.Errorf(path+"."+key, "the list is empty: name a kind of %s, or leave %s out for all", key[:len(key)-1], key)
		}
	}
	if b.at.Has(path + ".zone") {
		b.at.Index(path+".zone", "kind of zone", r.ZoneKind, b.field.ZoneKinds())
	}
	if len(form.credits) > 0 {
		credits := namesOf(form.credits, func(c Credit) string { return string(c) })
		r.Credit = cmp.Or(r.Credit, form.credits[0])
		b.at.Index(path+".credit", "credit", string(r.Credit), credits)
	}
	if slices.Contains(form.may, "inside") {
		r.Inside = cmp.Or(r.Inside, Centre)
	}
	if form.kind == PhaseWinner {
		r.Draw = cmp.Or(r.Draw, "none")
	}
}

// ruleCounts notes an error at a rule that nothing on the field can ever meet.
func (b *builder) ruleCounts(path string, r Rule) {
	switch {
	case (r.Kind == PieceInGoal || r.Kind == PieceInZone) && !b.anyPiece(r, func(Piece) bool { return true }):
		b.at.Errorf(path, "the field has no piece that this rule counts: place one, or leave the rule out")
	case (r.Kind == PieceInGoal || r.Kind == GoalInZone) && !b.anyGoal(r, func(Goal) bool { return true }):
		b.at.Errorf(path, "the field has no goal that this rule counts: place one, or leave the rule out")
	case r.Kind == PieceInGoal && !b.taken(r):
		b.at.Errorf(path, "no goal of this rule takes a piece of it: see takes of the goal's kind")
	case r.Credit == ByPiece && !b.anyPiece(r, func(p Piece) bool { return p.Side >= 0 }):
		b.at.Errorf(path+".credit", "none of the pieces has a side to give the points to: write credit = \"scorer\", or "+
			"give the pieces sides")
	case r.Credit == ByGoal && !b.anyGoal(r, func(g Goal) bool { return g.Side >= 0 }):
		b.at.Errorf(path+".credit", "none of the goals has a side to give the points to: write another credit, or give "+
			"the goals sides")
	case r.Credit == ByZone && !slices.ContainsFunc(b.field.Zones, func(z Zone) bool {
		return z.Kind == r.ZoneKind &&
			z.Side >= 0
	}):
		b.at.Errorf(path+".zone", "none of these zones has a side to give the points to: write another credit, or give "+
			"the zones sides")
	case r.Kind == GoalInZone && r.Points == 0 && r.Times == 1:
		b.at.Errorf(path, "the rule gives nothing: write points, or times to multiply what the pieces in the goal count")
	case (r.Kind == PhaseWinner || r.Kind == LineCrossed) && len(b.field.Sides) < 2:
		b.at.Errorf(path, "the field has one side, so no other can be behind or get the points: leave the rule out")
	case r.Times != 1 && !b.multiplies(r):
		b.at.Errorf(path+".times", "no rule counts pieces in this goal, so there is nothing to multiply: leave times out, "+
			"or add a rule of the kind \"piece in goal\"")
	}
}

func (b *builder) anyPiece(r Rule, good func(Piece) bool) bool {
	return slices.ContainsFunc(b.field.Pieces, func(p Piece) bool { return r.CountsPiece(p.Kind) && good(p) })
}

func (b *builder) anyGoal(r Rule, good func(Goal) bool) bool {
	return slices.ContainsFunc(b.field.Goals, func(g Goal) bool { return r.CountsGoal(g.Kind) && good(g) })
}

func (b *builder) taken(r Rule) bool {
	return b.anyGoal(r, func(g Goal) bool {
		return b.anyPiece(r, func(p Piece) bool { return slices.Contains(b.field.GoalKinds[g.Kind].Takes, p.Kind) })
	})
}

func (b *builder) multiplies(r Rule) bool {
	return slices.ContainsFunc(b.field.Rules, func(other Rule) bool {
		return other.Kind == PieceInGoal && b.anyGoal(r, func(g Goal) bool { return other.CountsGoal(g.Kind) })
	})
}

// CountsInGoals reports whether a rule counts pieces in goals, which others multiply.
func (r *Rule) CountsInGoals() bool { return r.Kind == PieceInGoal }

// CountsPiece and CountsGoal report whether a rule is about a kind: an empty list means all.
func (r *Rule) CountsPiece(kind int) bool {
	return len(r.Pieces) == 0 || slices.Contains(r.Pieces, kind)
}
func (r *Rule) CountsGoal(kind int) bool { return len(r.Goals) == 0 || slices.Contains(r.Goals, kind) }
