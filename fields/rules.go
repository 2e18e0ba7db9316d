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
	{PieceInGoal, []string{"points"}, []string{"pieces", "goals", "credit", "count", "judged", "phase"},
		[]Credit{ByScorer, ByPiece, ByGoal}},
	{PieceScoredBy, []string{"points"}, []string{"phase", "before", "pieces", "goals", "credit", "count"},
		[]Credit{ByScorer, ByPiece, ByGoal}},
	{SetInGoal, []string{"points"}, []string{"set", "each", "run", "pieces", "goals", "credit", "count", "judged",
		"phase"},
		[]Credit{ByScorer, ByPiece, ByGoal}},
	{GoalOwned, []string{"points"}, []string{"by", "pieces", "goals", "credit", "count", "judged", "phase"},
		[]Credit{ByScorer, ByPiece}},
	{GoalLine, []string{"points", "rows"}, []string{"by", "pieces", "credit", "count", "judged", "phase"},
		[]Credit{ByScorer, ByPiece}},
	{PieceInZone, []string{"points", "zone"}, []string{"pieces", "inside", "credit", "count", "judged", "phase"},
		[]Credit{ByScorer, ByPiece, ByZone}},
	{PieceHeld, []string{"points"}, []string{"pieces", "count", "judged", "phase"}, nil},
	{GoalInZone, []string{"zone"}, []string{"points", "goals", "inside", "credit", "times", "count", "judged", "phase"},
		[]Credit{ByZone, ByGoal}},
	{RobotInZone, []string{"points", "zone"}, []string{"inside", "count", "judged", "phase"}, nil},
	{RobotTouches, []string{"points", "with"}, []string{"goals", "count", "judged", "phase"}, nil},
	{PhaseWinner, []string{"points"}, []string{"phase", "draw"}, nil},
	{LineCrossed, []string{"points", "line"}, []string{"phase", "side", "inside", "penalty"}, nil},
	{Touched, []string{"points", "with"}, []string{"zone", "goals", "inside", "phase", "penalty"}, nil},
	{HeldTooMany, []string{"points", "most"}, []string{"pieces", "phase", "penalty"}, nil},
	{ByFormula, []string{"points"}, []string{"when", "judged", "phase"}, nil},
}

// ruleExamples are what an error tells to write for a key that a rule must have.
var ruleExamples = map[string]string{"points": "points = 2", "zone": `zone = "camp"`, "line": `line = "centre line"`,
	"with": `with = "goal"`, "most": "most = 3", "rows": `rows = [["left post", "middle post", "right post"]]`}

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
		r.Inside = cmp.Or(r.Inside, usualInside[form.kind], Centre)
	}
	b.ruleWords(path, r)
	if form.kind == PhaseWinner {
		r.Draw = cmp.Or(r.Draw, "none")
	}
}

// ruleAbout is what a rule cannot do without on the field.
var ruleAbout = map[RuleKind][]string{
	PieceInGoal: {"pieces", "goals"}, PieceScoredBy: {"pieces", "goals"}, SetInGoal: {"pieces", "goals"},
	GoalOwned: {"pieces", "goals"}, GoalLine: {"pieces"}, PieceInZone: {"pieces"}, PieceHeld: {"pieces"},
	HeldTooMany: {"pieces"}, GoalInZone: {"goals"},
}

// usualInside is how much of a robot a foul is about, where that is not the centre.
var usualInside = map[RuleKind]Inside{LineCrossed: Any, Touched: Any}

// ruleWords notes an error at keys of a rule that do not go together.
func (b *builder) ruleWords(path string, r *Rule) {
	has := func(key string) bool { return b.at.Has(path + "." + key) }
	switch {
	case r.Judged == Once && r.Kind != ByFormula:
		b.at.Errorf(path+".judged", "only a formula has a first time: write judged = \"phase end\" or \"end\"")
	case r.Judged != AtPhaseEnd && has("phase") && has("judged") || r.Judged == Always && has("phase") && r.judges():
		b.at.Errorf(path+".phase", "phase says at the end of which one the rule is judged: write judged = \"phase end\" too")
	case r.Kind == PieceScoredBy && !has("phase") && !has("before"):
		b.at.Errorf(path, "the rule does not say by when: write before = \"30 s\", or phase with a phase's name")
	case r.Kind == SetInGoal && has("set") == has("run"):
		b.at.Errorf(path, "a set is either of kinds or a run of one side's: write set = [\"core\", \"drum\"], or run = 3")
	case r.Kind == SetInGoal && has("run") && (has("each") || r.Credit == ByGoal):
		b.at.Errorf(path+".run", "a run is of the pieces of one side: leave each and credit = \"goal\" out")
	case r.Kind == SetInGoal && has("set") && has("pieces"):
		b.at.Errorf(path+".pieces", "the set says which pieces it is of: leave pieces out")
	case r.With == "hands" && r.Kind == Touched && has("zone"):
		b.at.Errorf(path+".zone", "the zones are those where people have their hands: leave zone out")
	case r.With == "hands" && r.Kind == Touched && len(b.field.HandZones()) == 0:
		b.at.Errorf(path+".with", "no person has hands on the field: write hands = \"a zone\" in [[loads]]")
	case r.Kind == RobotTouches && r.With != "wall" && r.With != "goal":
		b.at.Errorf(path+".with", "robots get points for what is no robot and no zone: write with = \"wall\" or \"goal\"")
	case r.Kind == Touched && r.With == "wall":
		b.at.Errorf(path+".with", "a wall is no side's: write with = \"zone\", \"goal\", \"robot\" or "+
			"\"hands\"")
	case has("with") && has("goals") && r.With != "goal":
		b.at.Errorf(path+".goals", "the rule is not about goals: leave goals out, or write with = \"goal\"")
	case r.Kind == Touched && r.With == "zone" && !has("zone"):
		b.at.Errorf(path+".zone", "the rule does not say which zones: write zone = \"camp\"")
	case r.Kind == Touched && r.With == "goal" && has("zone"):
		b.at.Errorf(path+".zone", "the rule is not about zones: leave zone out, or write with = \"zone\"")
	case r.Kind == LineCrossed && r.Inside == Centre:
		b.at.Errorf(path+".inside", "of a robot across a line counts any part or all: write inside = \"any\" or \"all\"")
	}
	if r.Set != nil {
		r.Pieces = r.Set
	}
	b.rows(path+".rows", r)
}

// judges reports whether a rule counts how things are, so that it may be judged at one time or another.
func (r *Rule) judges() bool { return !r.Foul() && r.Kind != PhaseWinner && r.Kind != PieceScoredBy }

// Foul reports whether a rule is about a breach.
func (r *Rule) Foul() bool {
	return r.Kind == LineCrossed || r.Kind == Touched || r.Kind == HeldTooMany
}

// rows finds the goals that a rule names.
func (b *builder) rows(path string, r *Rule) {
	b.few(path, len(r.Rows), maxListed)
	names := namesOf(b.field.Goals, func(g Goal) string { return g.Name })
	for i, row := range r.Rows[:min(len(r.Rows), maxListed)] {
		at := fmt.Sprintf("%s[%d]", path, i)
		if len(row) < 2 {
			b.at.Errorf(at, "a row of goals has at least two: name them in their order")
		}
		var line []int
		for k, name := range row {
			g := b.at.Index(fmt.Sprintf("%s[%d]", at, k), "goal", name, names)
			if g >= 0 && slices.Contains(line, g) {
				b.at.Errorf(fmt.Sprintf("%s[%d]", at, k), "%q is named twice: leave one out", name)
			}
			line = append(line, g)
		}
		r.Lines = append(r.Lines, line)
	}
	if b.at.Has(path) && len(r.Rows) == 0 {
		b.at.Errorf(path, "the list is empty: write %s", ruleExamples["rows"])
	}
}

// ruleCounts notes an error at a rule that nothing on the field can ever meet.
func (b *builder) ruleCounts(path string, r Rule) {
	const pieces, goals = "pieces", "goals"
	about := ruleAbout[r.Kind]
	if r.With == "goal" {
		about = []string{goals}
	}
	switch {
	case slices.Contains(about, pieces) && !b.anyPiece(r, func(Piece) bool { return true }):
		b.at.Errorf(path, "the field has no piece that this rule counts: place one, or leave the rule out")
	case slices.Contains(about, goals) && !b.anyGoal(r, func(Goal) bool { return true }):
		b.at.Errorf(path, "the field has no goal that this rule counts: place one, or leave the rule out")
	case slices.Contains(about, pieces) && slices.Contains(about, goals) && !b.taken(r):
		b.at.Errorf(path, "no goal of this rule takes a piece of it: see takes of the goal's kind")
	case r.Credit == ByPiece && !b.anyPiece(r, func(p Piece) bool { return p.Side >= 0 }):
		b.at.Errorf(path+".credit", "none of the pieces has a side to give the points to: write credit = \"scorer\", or "+
			"give the pieces sides")
	case r.Credit == ByGoal && !b.anyGoal(r, func(g Goal) bool { return g.Side >= 0 }):
		b.at.Errorf(path+".credit", "none of the goals has a side to give the points to: write another credit, or give "+
			"the goals sides")
	case r.Credit == ByZone && !b.sided(r):
		b.at.Errorf(path+".zone", "none of these zones has a side to give the points to: write another credit, or give "+
			"the zones sides")
	case r.Kind == GoalInZone && r.Points == 0 && r.Times == 1:
		b.at.Errorf(path, "the rule gives nothing: write points, or times to multiply what the pieces in the goal count")
	case r.Kind == SetInGoal && !b.fits(r):
		b.at.Errorf(path, "no goal of this rule has room for such a set and takes its pieces: see takes and room of the "+
			"goal's kind")
	case r.Kind == Touched && r.With == "zone" && !b.sided(r):
		b.at.Errorf(path+".zone", "none of these zones has a side whose it is: give the zones sides")
	case r.Kind == Touched && r.With == "goal" && !b.anyGoal(r, func(g Goal) bool { return g.Side >= 0 }):
		b.at.Errorf(path, "none of these goals has a side whose it is: give the goals sides")
	case len(b.field.Sides) < 2 &&
		(r.Kind == PhaseWinner || r.Kind == Touched && r.With != "hands" || r.Foul() && !r.Lost):
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

// sided reports whether a zone that a rule is about has a side.
func (b *builder) sided(r Rule) bool {
	return slices.ContainsFunc(b.field.Zones, func(z Zone) bool { return z.Kind == r.ZoneKind && z.Side >= 0 })
}

// fits reports whether a goal can hold a whole set, of kinds or of a run.
func (b *builder) fits(r Rule) bool {
	return b.anyGoal(r, func(g Goal) bool {
		kind := b.field.GoalKinds[g.Kind]
		for _, piece := range r.Set {
			if !slices.Contains(kind.Takes, piece) {
				return false
			}
		}
		return kind.Room >= max(r.Run, r.Each*len(r.Set))
	})
}

func (b *builder) taken(r Rule) bool {
	return b.anyGoal(r, func(g Goal) bool {
		return b.anyPiece(r, func(p Piece) bool { return slices.Contains(b.field.GoalKinds[g.Kind].Takes, p.Kind) })
	})
}

func (b *builder) multiplies(r Rule) bool {
	return slices.ContainsFunc(b.field.Rules, func(other Rule) bool {
		return other.CountsInGoals() && b.anyGoal(r, func(g Goal) bool { return other.CountsGoal(g.Kind) })
	})
}

// CountsInGoals reports whether a rule counts pieces in goals, which others multiply.
func (r *Rule) CountsInGoals() bool { return r.Kind == PieceInGoal || r.Kind == PieceScoredBy }

// CountsPiece and CountsGoal report whether a rule is about a kind: an empty list means all.
func (r *Rule) CountsPiece(kind int) bool {
	return len(r.Pieces) == 0 || slices.Contains(r.Pieces, kind)
}
func (r *Rule) CountsGoal(kind int) bool { return len(r.Goals) == 0 || slices.Contains(r.Goals, kind) }

// RuleKinds are all kinds of rules.
func RuleKinds() []RuleKind {
	kinds := make([]RuleKind, len(ruleForms))
	for i, f := range ruleForms {
		kinds[i] = f.kind
	}
	return kinds
}
