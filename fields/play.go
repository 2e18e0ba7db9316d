package fields

import (
	"fmt"
	"slices"

	"chalkfield/internal/base/units"
)

func (b *builder) phases() {
	phases := b.field.Phases
	b.few("phases", len(phases), maxListed)
	var sum float64
	for i, p := range phases {
		b.name(fmt.Sprintf("phases[%d].name", i), p.Name)
		sum += p.Seconds
	}
	if len(phases) == 0 {
		b.at.Errorf("phases", "there is no phase: write at least one")
	}
	if sum > maxPhases {
		b.at.Errorf(fmt.Sprintf("phases[%d].length", len(phases)-1), "all phases together last %s: write at most %s",
			units.Text(sum, "s"), units.Text(maxPhases, "s"))
	}
	b.unique("phase", len(phases), func(i int) (string, string) {
		return fmt.Sprintf("phases[%d].name", i),
			phases[i].Name
	})
	b.sessions()
}

func (b *builder) sessions() {
	sessions := b.field.Sessions
	b.few("sessions", len(sessions), maxListed)
	for i, s := range sessions {
		path := fmt.Sprintf("sessions[%d]", i)
		b.name(path+".name", s.Name)
		if b.at.Length(path+".phases") == 0 {
			b.at.Errorf(path+".phases", "a session plays at least one phase: name it")
		}
	}
	if len(sessions) == 0 {
		b.at.Errorf("sessions", "there is no session: write at least one")
	}
	b.unique("session", len(sessions), func(i int) (string, string) {
		return fmt.Sprintf("sessions[%d].name", i),
			sessions[i].Name
	})
}

// ZoneKinds are the kinds of the field's zones, each once.
func (f *Field) ZoneKinds() []string {
	var out []string
	for _, z := range f.Zones {
		if !slices.Contains(out, z.Kind) {
			out = append(out, z.Kind)
		}
	}
	return out
}
