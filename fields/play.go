package fields

import (
	"fmt"
	"slices"

	"chalkfield/internal/units"
)

func (b *builder) phases() {
	b.few("phases", len(b.file.Phases), maxListed)
	var sum units.Time
	for i, p := range b.file.Phases {
		path := fmt.Sprintf("phases[%d]", i)
		b.name(path+".name", p.Name)
		sum += p.Length
		b.field.Phases = append(b.field.Phases, Phase{p.Name, float64(p.Length), choose(b, path+".control", p.Control, Autonomous, Driver)})
	}
	phases := b.field.Phases
	if len(phases) == 0 {
		b.at.Errorf("phases", "there is no phase: write at least one")
	}
	if sum > maxPhases {
		b.at.Errorf(fmt.Sprintf("phases[%d].length", len(phases)-1), "all phases together last %v: write at most %v", sum, maxPhases)
	}
	b.unique("phase", len(phases), func(i int) (string, string) { return fmt.Sprintf("phases[%d].name", i), phases[i].Name })
	b.sessions()
}

func (b *builder) sessions() {
	b.few("sessions", len(b.file.Sessions), maxListed)
	for i, s := range b.file.Sessions {
		path := fmt.Sprintf("sessions[%d]", i)
		b.name(path+".name", s.Name)
		if len(s.Phases) == 0 {
			b.at.Errorf(path+".phases", "a session plays at least one phase: name it")
		}
		b.field.Sessions = append(b.field.Sessions, Session{s.Name, b.indices(path+".phases", "phase", s.Phases, b.phaseNames())})
	}
	sessions := b.field.Sessions
	if len(sessions) == 0 {
		b.at.Errorf("sessions", "there is no session: write at least one")
	}
	b.unique("session", len(sessions), func(i int) (string, string) { return fmt.Sprintf("sessions[%d].name", i), sessions[i].Name })
}

func (b *builder) phaseNames() []string {
	return namesOf(b.field.Phases, func(p Phase) string { return p.Name })
}

func (b *builder) tieBreak() {
	b.field.TieBreak = b.indices("tie_break", "rule", b.file.TieBreak, namesOf(b.field.Rules, func(r Rule) string { return r.Name }))
}

// zoneKinds are the kinds of the field's zones, each once.
func (b *builder) zoneKinds() []string {
	var out []string
	for _, z := range b.field.Zones {
		if !slices.Contains(out, z.Kind) {
			out = append(out, z.Kind)
		}
	}
	return out
}
