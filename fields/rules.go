package fields

import (
	"fmt"
	"slices"
	"strings"
)

// ruleForm says which keys a kind of rule has, besides name, kind and points, and whose points it may be. The first credit is
// the usual one.
type ruleForm struct {
	kind    RuleKind
	needs   []string
	may     []string
	credits []Credit
}

var ruleForms = []ruleForm{
	{PieceInGoal, []string{"points"}, []string{"pieces", "goals", "credit", "count"}, []Credit{ByScorer, ByPiece, ByGoal}},
	{PieceInZone, []string{"points", "zone"}, []string{"pieces", "inside", "credit", "count"}, []Credit{ByScorer, ByPiece, ByZone}},
	{GoalInZone, []string{"zone"}, []string{"points", "goals", "inside", "credit", "times", "count"}, []Credit{ByZone, ByGoal}},
	{RobotInZone, []string{"points", "zone"}, []string{"inside", "count"}, nil},
	{PhaseWinner, []string{"points"}, []string{"phase", "draw"}, nil},
	{LineCrossed, []string{"points", "line"}, []string{"phase"}, nil},
}

// ruleExamples are what an error tells to write for a key that a rule must have.
var ruleExamples = map[string]string{"points": "points = 2", "zone": `zone = "camp"`, "line": `line = "centre line"`}

func (b *builder) rules() {
	b.few("rules", len(b.file.Rules), maxListed)
	kinds := namesOf(ruleForms, func(f ruleForm) string { return string(f.kind) })
	for i, r := range b.file.Rules {
		path := fmt.Sprintf("rules[%d]", i)
		b.name(path+".name", r.Name)
		k := b.at.Index(path+".kind", "kind of rule", r.Kind, kinds)
		if k < 0 {
			b.field.Rules = append(b.field.Rules, Rule{Name: r.Name})
			continue
		}
		b.ruleKeys(path, ruleForms[k])
		b.field.Rules = append(b.field.Rules, b.rule(path, r, ruleForms[k]))
	}
	rules := b.field.Rules
	b.unique("rule", len(rules), func(i int) (string, string) { return fmt.Sprintf("rules[%d].name", i), rules[i].Name })
	if b.at.Err() == nil {
		for i, r := range rules {
			b.ruleCounts(fmt.Sprintf("rules[%d]", i), r)
		}
	}
}

// ruleKeys checks that a rule has the keys of its kind and no others.
func (b *builder) ruleKeys(path string, form ruleForm) {
	known := slices.Concat([]string{"name", "kind"}, form.needs, form.may)
	for _, key := range b.at.Keys(path) {
		if !slices.Contains(known, key) {
			b.at.KeyErrorf(path+"."+key, "a rule of the kind %q does not use %s: leave it out (it uses %s)", form.kind, key, strings.Join(known[2:], ", "))
		}
	}
	for _, key := range form.needs {
		if !b.at.Has(path + "." + key) {
			b.at.Errorf(path+"."+key, "a rule of the kind %q needs the key %q: write, for example, %s", form.kind, key, ruleExamples[key])
		}
	}
}

func (b *builder) rule(path string, r ruleFile, form ruleForm) Rule {
	out := Rule{Name: r.Name, Kind: form.kind, Points: r.Points, ZoneKind: r.Zone, Line: -1, Phase: -1, Times: r.Times, Count: r.Count}
	out.Pieces = b.indices(path+".pieces", "piece kind", r.Pieces, namesOf(b.field.PieceKinds, func(k PieceKind) string { return k.Name }))
	out.Goals = b.indices(path+".goals", "goal kind", r.Goals, namesOf(b.field.GoalKinds, func(k GoalKind) string { return k.Name }))
	if r.Pieces != nil && len(r.Pieces) == 0 {
		b.at.Errorf(path+".pieces", "the list is empty: name a kind of piece, or leave pieces out for all")
	}
	if r.Goals != nil && len(r.Goals) == 0 {
		b.at.Errorf(path+".goals", "the list is empty: name a kind of goal, or leave goals out for all")
	}
	if b.at.Has(path + ".zone") {
		b.at.Index(path+".zone", "kind of zone", r.Zone, b.zoneKinds())
	}
	if b.at.Has(path + ".line") {
		out.Line = b.at.Index(path+".line", "line", r.Line, namesOf(b.field.Lines, func(l Line) string { return l.Name }))
	}
	if b.at.Has(path + ".phase") {
		out.Phase = b.at.Index(path+".phase", "phase", r.Phase, b.phaseNames())
	}
	b.ruleWords(path, r, form, &out)
	return out
}

// ruleWords reads the keys that take one of a few words, each with its usual one.
func (b *builder) ruleWords(path string, r ruleFile, form ruleForm, out *Rule) {
	if len(form.credits) > 0 {
		out.Credit = form.credits[0]
		if b.at.Has(path + ".credit") {
			out.Credit = choose(b, path+".credit", r.Credit, form.credits...)
		}
	}
	if slices.Contains(form.may, "inside") {
		out.Inside = Centre
		if b.at.Has(path + ".inside") {
			out.Inside = choose(b, path+".inside", r.Inside, Centre, All, Any)
		}
	}
	if form.kind == PhaseWinner {
		out.Draw = "none"
		if b.at.Has(path + ".draw") {
			out.Draw = choose(b, path+".draw", r.Draw, "none", "each", "half")
		}
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
		b.at.Errorf(path+".credit", "none of the pieces has a side to give the points to: write credit = \"scorer\", or give the pieces sides")
	case r.Credit == ByGoal && !b.anyGoal(r, func(g Goal) bool { return g.Side >= 0 }):
		b.at.Errorf(path+".credit", "none of the goals has a side to give the points to: write another credit, or give the goals sides")
	case r.Credit == ByZone && !slices.ContainsFunc(b.field.Zones, func(z Zone) bool { return z.Kind == r.ZoneKind && z.Side >= 0 }):
		b.at.Errorf(path+".zone", "none of these zones has a side to give the points to: write another credit, or give the zones sides")
	case r.Kind == GoalInZone && r.Points == 0 && r.Times == 1:
		b.at.Errorf(path, "the rule gives nothing: write points, or times to multiply what the pieces in the goal count")
	case (r.Kind == PhaseWinner || r.Kind == LineCrossed) && len(b.field.Sides) < 2:
		b.at.Errorf(path, "the field has one side, so no other can be behind or get the points: leave the rule out")
	case r.Times != 1 && !b.multiplies(r):
		b.at.Errorf(path+".times", "no rule counts pieces in this goal, so there is nothing to multiply: leave times out, or add a rule of the kind \"piece in goal\"")
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

// CountsPiece and CountsGoal report whether a rule is about a kind: an empty list means all.
func (r *Rule) CountsPiece(kind int) bool {
	return len(r.Pieces) == 0 || slices.Contains(r.Pieces, kind)
}
func (r *Rule) CountsGoal(kind int) bool { return len(r.Goals) == 0 || slices.Contains(r.Goals, kind) }
