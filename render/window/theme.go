package window

import (
	"chalkfield/internal/base/units"
	"chalkfield/render/scene/paint"
)

// nextUnits shows quantities in the other system, and remembers it.
func (g *game) nextUnits() {
	in := units.System((int(g.model.Units) + 1) % len(units.Systems))
	g.memory.Measure(in)
	g.showIn(in)
	g.model.Say(map[units.System]string{units.Metric: "Quantities are in metric units.",
		units.Inch: "Quantities are in inches and feet, pounds and psi; files and routines keep their own."}[in])
}

// showIn shows quantities in a system: what the actions are called has some, too.
func (g *game) showIn(in units.System) {
	g.model.ShowIn(in)
	g.actions = g.allActions()
}

// shownIn is the theme chosen.
func (s *shared) shownIn() paint.Theme { return paint.ThemeOf(s.memory.Theme) }

// nextTheme takes the theme after the one chosen.
func (g *game) nextTheme() {
	next := g.shownIn().After()
	g.memory.Dress(next.Name)
	g.model.Say("The window is " + next.Words + ".")
}
