// Package randomgame makes up games for tests: rules of the whole grammar of the field file, for a field that is there.
package randomgame

import (
	"fmt"
	"slices"
	"strings"

	"chalkfield/fields"
)

// maker writes rules. What it draws comes from one function, so that a property test may repeat it.
type maker struct {
	f     *fields.Field
	draw  func(n int) int // a number from 0, below n
	out   strings.Builder
	rules []string // the names so far, that formulas may read
}

// Rules are some rules for a field, as its file writes them. They take the place of the field's own.
func Rules(f *fields.Field, count int, draw func(n int) int) string {
	m := &maker{f: f, draw: draw}
	kinds := fields.RuleKinds()
	for i := range count {
		name := fmt.Sprintf("rule %d", i)
		m.rule(name, kinds[draw(len(kinds))])
		m.rules = append(m.rules, name)
	}
	return m.out.String()
}

func (m *maker) rule(name string, kind fields.RuleKind) {
	m.line("[[rules]]\nname = %q\nkind = %q", name, kind)
	if kind != fields.ByFormula {
		m.line("points = %d", []int{1, 2, 3, 5, 7, -1, -2}[m.draw(7)])
	}
	switch kind {
	case fields.PieceInGoal:
		m.piecesInGoals("scorer", "piece", "goal")
	case fields.PieceScoredBy:
		m.either(m.phase, func() { m.line("before = \"%d s\"", 1+m.draw(30)) })
		m.piecesInGoals("scorer", "piece", "goal")
	case fields.SetInGoal:
		m.set()
	case fields.GoalOwned:
		m.by()
		m.piecesInGoals("scorer", "piece")
	case fields.GoalLine:
		m.by()
		m.rows()
	case fields.PieceInZone:
		m.zone(1)
		m.inside("centre", "all", "any")
		m.pieces(m.credit("scorer", "piece") == "piece")
	case fields.PieceHeld:
		m.pieces(false)
	case fields.GoalInZone:
		m.inside("centre", "all", "any")
		if m.draw(2) == 0 {
			m.zone(0)
			m.goals(false)
		} else {
			m.zone(1)
			m.line("credit = \"goal\"")
			m.goals(true)
		}
	case fields.RobotInZone:
		m.zone(1)
		m.inside("centre", "all", "any")
	case fields.RobotTouches:
		m.line("with = %q", m.pick("wall", "goal"))
	case fields.PhaseWinner:
		m.maybe(m.phase)
		m.maybe(func() { m.line("draw = %q", m.pick("none", "each", "half")) })
	case fields.ByFormula:
		m.formula()
	default:
		m.foul(kind)
		return
	}
	if kind != fields.ByFormula && kind != fields.PhaseWinner {
		m.maybe(func() { m.line("count = %d", 1+m.draw(3)) })
	}
	if kind != fields.PhaseWinner && kind != fields.PieceScoredBy && kind != fields.ByFormula {
		m.maybe(m.judged)
	}
}

func (m *maker) foul(kind fields.RuleKind) {
	switch kind {
	case fields.LineCrossed:
		m.line("line = %q", m.f.Lines[m.draw(len(m.f.Lines))].Name)
		m.maybe(func() { m.line("side = %q", m.f.Sides[m.draw(len(m.f.Sides))].Name) })
		m.inside("any", "all")
	case fields.Touched:
		with := m.pick("zone", "goal", "robot")
		if len(m.f.HandZones()) > 0 && m.draw(3) == 0 {
			with = "hands"
		}
		switch with {
		case "zone":
			m.line("with = %q", with)
			m.zone(0)
			m.inside("centre", "all", "any")
		case "robot":
			m.line("with = %q", with)
			m.maybe(func() { m.zone(0) })
		default:
			m.line("with = %q", with)
		}
	case fields.HeldTooMany:
		m.line("most = %d", m.draw(3))
		m.pieces(false)
	}
	m.maybe(m.phase)
	m.maybe(func() { m.line("penalty = %q", m.pick("given", "lost")) })
}

func (m *maker) set() {
	if m.draw(2) == 0 {
		m.line("run = 2")
		m.credit("scorer", "piece")
		return
	}
	kind := m.draw(len(m.f.PieceKinds))
	m.line("set = [%q]", m.f.PieceKinds[kind].Name)
	m.maybe(func() { m.line("each = 2") })
	if m.sidedPiece(kind) {
		m.credit("scorer", "piece", "goal")
	} else {
		m.credit("scorer", "goal")
	}
}

// rows are goals in any order, and their mirror images.
func (m *maker) rows() {
	goals := names(m.f.Goals, func(g fields.Goal) string { return g.Name })
	a := m.draw(len(goals))
	b := (a + 1 + m.draw(len(goals)-1)) % len(goals)
	m.line("rows = [[%q, %q]]", goals[a], goals[b])
}

func (m *maker) judged() {
	switch m.draw(3) {
	case 0:
		m.line("judged = \"phase end\"")
		m.maybe(m.phase)
	case 1:
		m.line("judged = \"end\"")
	default:
		m.line("judged = \"always\"")
	}
}

func (m *maker) formula() {
	m.line("points = \"%s\"", m.number(3))
	if m.draw(2) == 0 {
		m.line("when = \"%s\"", m.truth(2))
	}
	if m.draw(3) == 0 {
		m.line("judged = \"once\"")
	} else {
		m.maybe(m.judged)
	}
}

// number is an expression that reads something.
func (m *maker) number(depth int) string {
	if depth == 0 {
		return m.term()
	}
	switch m.draw(5) {
	case 0:
		return fmt.Sprintf("%s(%s, %s)", m.pick("min", "max"), m.number(depth-1), m.number(depth-1))
	case 1:
		return fmt.Sprintf("%s(%s / %d)", m.pick("floor", "ceil", "round", "abs"), m.number(depth-1), 2+m.draw(5))
	case 2:
		return fmt.Sprintf("(%s ? %s : %d)", m.truth(depth-1), m.number(depth-1), m.draw(4))
	case 3:
		return fmt.Sprintf("(%s %s %s)", m.number(depth-1), m.pick("+", "-", "*", "/"), m.number(depth-1))
	}
	return m.term()
}

func (m *maker) truth(depth int) string {
	switch {
	case depth == 0 || m.draw(3) == 0:
		return fmt.Sprintf("%s %s %d", m.term(), m.pick("<", "<=", ">", ">=", "==", "!="), m.draw(3))
	case m.draw(3) == 0:
		return fmt.Sprintf("phase %s '%s'", m.pick("==", "!="), m.f.Phases[m.draw(len(m.f.Phases))].Name)
	}
	return fmt.Sprintf("%s(%s) %s (%s)", m.pick("", "not "), m.truth(depth-1), m.pick("and", "or"), m.truth(depth-1))
}

func (m *maker) term() string {
	whose := m.pick("", "other.")
	switch n := m.draw(8); {
	case n == 0:
		return m.pick("time", "time_left", "phase_left")
	case n == 1:
		return fmt.Sprintf("%srobots_in('%s', '%s')", whose, m.pick(m.f.ZoneKinds()...), m.pick("centre", "all", "any"))
	case n == 2:
		return fmt.Sprintf("%srobots_touching('%s')", whose,
			m.pick(names(m.f.GoalKinds, func(k fields.GoalKind) string { return k.Name })...))
	case n == 3:
		return whose + m.pick("robots_at_wall()", "robots()", "held()")
	case n == 4:
		return fmt.Sprintf("%sheld('%s')", whose,
			m.pick(names(m.f.PieceKinds, func(k fields.PieceKind) string { return k.Name })...))
	case len(m.rules) == 0:
		return "held()"
	}
	return fmt.Sprintf("%s%s('%s')", whose, m.pick("count", "points"), m.pick(m.rules...))
}

func (m *maker) line(format string, args ...any) { fmt.Fprintf(&m.out, format+"\n", args...) }

func (m *maker) maybe(write func()) {
	if m.draw(2) == 0 {
		write()
	}
}

// either writes one of two, or both.
func (m *maker) either(a, b func()) {
	n := m.draw(3)
	if n != 0 {
		a()
	}
	if n != 1 {
		b()
	}
}

func (m *maker) pick(of ...string) string { return of[m.draw(len(of))] }

// piecesInGoals narrows a rule to some pieces, or to some goals, that have the side that is credited.
func (m *maker) piecesInGoals(credits ...string) {
	credit := m.credit(credits...)
	if m.draw(2) == 0 {
		m.pieces(credit == "piece")
	} else {
		m.goals(credit == "goal")
	}
}

func (m *maker) pieces(sided bool) {
	var kinds []string
	for i, k := range m.f.PieceKinds {
		if !sided || m.sidedPiece(i) {
			kinds = append(kinds, k.Name)
		}
	}
	m.maybe(func() { m.line("pieces = [%q]", m.pick(kinds...)) })
}

func (m *maker) goals(sided bool) {
	var kinds []string
	for i, k := range m.f.GoalKinds {
		if !sided || slices.ContainsFunc(m.f.Goals, func(g fields.Goal) bool { return g.Kind == i && g.Side >= 0 }) {
			kinds = append(kinds, k.Name)
		}
	}
	m.maybe(func() { m.line("goals = [%q]", m.pick(kinds...)) })
}

func (m *maker) sidedPiece(kind int) bool {
	return slices.ContainsFunc(m.f.Pieces, func(p fields.Piece) bool { return p.Kind == kind && p.Side >= 0 })
}

// credit writes a credit, and gives it; the first without writing it. A piece or a goal has one only where some have
// sides.
func (m *maker) credit(of ...string) string {
	credit := m.pick(of...)
	if credit == "piece" && !slices.ContainsFunc(m.f.Pieces, func(p fields.Piece) bool { return p.Side >= 0 }) ||
		credit == "goal" && !slices.ContainsFunc(m.f.Goals, func(g fields.Goal) bool { return g.Side >= 0 }) {
		credit = of[0]
	}
	if credit != of[0] {
		m.line("credit = %q", credit)
	}
	return credit
}

func (m *maker) by()                 { m.maybe(func() { m.line("by = %q", m.pick("more", "last")) }) }
func (m *maker) inside(of ...string) { m.maybe(func() { m.line("inside = %q", m.pick(of...)) }) }
func (m *maker) phase()              { m.line("phase = %q", m.f.Phases[m.draw(len(m.f.Phases))].Name) }

// zone is a kind of zone; of those that have a side only where free is 0.
func (m *maker) zone(free int) {
	var kinds []string
	for _, z := range m.f.Zones {
		if (free > 0 || z.Side >= 0) && !slices.Contains(kinds, z.Kind) {
			kinds = append(kinds, z.Kind)
		}
	}
	m.line("zone = %q", m.pick(kinds...))
}

func names[T any](list []T, name func(T) string) []string {
	out := make([]string, len(list))
	for i, x := range list {
		out[i] = name(x)
	}
	return out
}
