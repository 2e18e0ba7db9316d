package scripting

import (
	"chalkfield/scripting/talk"
	"chalkfield/sim/robot"
)

// looksOf is what a sensor tells a program beside its number, by the names of Lua's calls; none: nothing.
func looksOf(s robot.Sensor) []string {
	switch {
	case s.Kind == robot.Optical && s.Optical.Looks:
		return []string{"kind", "side"}
	case s.Kind == robot.Mark:
		return []string{"seen"}
	}
	return nil
}

// look is what such a sensor tells now.
func (h *Host) look(i int, s robot.Sensor) talk.Look {
	if s.Kind == robot.Mark {
		return talk.Look{Seen: h.sightings(i)}
	}
	kind, side := h.machine.PieceBefore(i)
	return talk.Look{Kind: kind, Side: h.env.twin(side)}
}

// looks are those of all sensors.
func (h *Host) looks() map[string]talk.Look {
	all := map[string]talk.Look{}
	for i, s := range h.machine.Sensors() {
		if looksOf(s) != nil {
			all[s.Name] = h.look(i, s)
		}
	}
	return all
}
