package rehearse

import (
	"fmt"

	"chalkfield/internal/base/record"
	"chalkfield/sim/misfit"
)

// misfits are the warnings about what of an entrant's robot cannot work on the field, for the record's beginning.
// Robots of one file are warned of once.
func misfits(s Setup, index int) []record.Event {
	for _, before := range s.Entrants[:index] {
		if before.Routine != nil && before.Robot.SHA256 == s.Entrants[index].Robot.SHA256 {
			return nil
		}
	}
	robot := s.Entrants[index].Robot
	var list []record.Event
	for _, w := range misfit.Find(robot, s.Field) {
		text := fmt.Sprintf("%s: bot.%s: %s", robot.Name, w.Part, w.What)
		list = append(list, record.Event{Kind: record.Warning, Robot: index, What: w.Part, Text: text, Instead: w.Instead})
	}
	return list
}
