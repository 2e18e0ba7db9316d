package viewmodel

import (
	"slices"
	"strings"

	"chalkfield/sim/robot"
)

// Machine is a robot of the run by its file; nil: only the record is at hand.
func (r *Run) Machine(i int) *robot.Robot {
	if len(r.Setup.Entrants) != len(r.Record.Header.Robots) || i < 0 || i >= len(r.Setup.Entrants) {
		return nil
	}
	return r.Setup.Entrants[i].Robot
}

// EndsOf says in short at which end a robot has what: "front: intake in; back: clamp, scorer out".
func (r *Run) EndsOf(i int) string {
	machine := r.Machine(i)
	if machine == nil {
		return ""
	}
	var order []string
	at := map[string][]string{}
	for _, part := range machine.Parts {
		for _, end := range part.Ends(machine) {
			if end.Feeds {
				continue
			}
			words := strings.TrimSpace(part.Name + " " + end.Short)
			if side := end.Side(); !slices.Contains(order, side) {
				order = append(order, side)
			}
			at[end.Side()] = append(at[end.Side()], words)
		}
	}
	for i, side := range order {
		order[i] = side + ": " + strings.Join(at[side], ", ")
	}
	return strings.Join(order, "; ")
}
