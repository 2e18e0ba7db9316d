package randomgame

import (
	"fmt"
	"strings"

	"chalkfield/fields"
)

// Goals has some kinds of goals of a field's file let pieces out, and some pushable ones tip.
func Goals(file string, draw func(n int) int) string {
	parts := strings.Split(file, "[[goal_kinds]]\n")
	for i := range parts[1:] {
		keys := ""
		if draw(2) == 0 {
			keys += "open = true\n"
		}
		if kind, _, _ := strings.Cut(parts[i+1], "[["); draw(2) == 0 && !strings.Contains(kind, "fixed") {
			keys += fmt.Sprintf("spills_at = \"%d mm/s\"\n", 50+draw(1500))
		}
		parts[i+1] = keys + parts[i+1]
	}
	return strings.Join(parts, "[[goal_kinds]]\n")
}

// Loads are places of a symmetric field with a rectangular floor where people load, as its file writes them, each with
// its copy: between two of the field's pieces, their hands in a zone.
func Loads(f *fields.Field, count int, draw func(n int) int) string {
	m := &maker{f: f, draw: draw}
	for range count {
		m.load()
	}
	return m.out.String()
}

func (m *maker) load() {
	at, to := m.f.Pieces[m.draw(len(m.f.Pieces))].At, m.f.Pieces[m.draw(len(m.f.Pieces))].At
	at.X, at.Y = float64((at.X+to.X)/2), float64((at.Y+to.Y)/2)
	m.line("[[zones]]\nname = \"hatch %d\"\nkind = \"hatch\"\nside = %q\ncopy = true", len(m.rules), m.side())
	_, high := m.f.Floor.Bounds()
	x := max(0.1, min(high.X, at.X+float64(0.1*float64(m.draw(5)))))
	y := max(0.1, min(high.Y, at.Y+float64(0.1*float64(m.draw(5)))))
	m.line("box = [[\"%.3f m\", \"%.3f m\"], [\"%.3f m\", \"%.3f m\"]]", x-0.1, y-0.1, x, y)
	kind := m.f.PieceKinds[m.draw(len(m.f.PieceKinds))].Name
	m.line("[[loads]]\nkind = %q\nat = [\"%.6f m\", \"%.6f m\"]\ncopy = true", kind, at.X, at.Y)
	m.line("count = %d\ntakes = \"%d ms\"", 1+m.draw(4), 100+m.draw(2000))
	m.maybe(func() { m.line("side = %q", m.side()) })
	m.maybe(func() { m.line("piece_side = %q", m.side()) })
	m.maybe(func() { m.line("speed = \"%d mm/s\"\nheading = \"%d deg\"", m.draw(1500), m.draw(360)) })
	m.maybe(func() { m.line("phases = [%q]", m.f.Phases[m.draw(len(m.f.Phases))].Name) })
	m.maybe(func() { m.line("hands = \"hatch %d\"", len(m.rules)) })
	m.rules = append(m.rules, "") // numbers the zones
}

func (m *maker) side() string { return m.f.Sides[m.draw(len(m.f.Sides))].Name }
