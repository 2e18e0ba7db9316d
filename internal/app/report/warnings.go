package report

import (
	"chalkfield/fields"
	"chalkfield/internal/base/record"
	"chalkfield/sim/misfit"
	"chalkfield/sim/robot"
)

// misfits says what of a robot cannot work on a field, and what to write instead. Where all can it says nothing.
func (t *Table) misfits(robot *robot.Robot, field *fields.Field) {
	found := misfit.Find(robot, field)
	for _, m := range found {
		said := lines(m.String())
		t.fact("Warning", "%s", t.in.Retold(said[0])).More = said[1:]
	}
	if len(found) > 0 {
		t.fact("", "(on %s, %s: --field names another)", field.Title, field.Name)
	}
}

// warnings lists what a record warns of, each in one line.
func warnings(events []record.Event) []string {
	var list []string
	for _, e := range events {
		if e.Kind != record.Warning {
			continue
		}
		list = append(list, e.Message()+"; "+e.Instead)
	}
	return list
}
