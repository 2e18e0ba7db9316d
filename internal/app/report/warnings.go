package report

import (
	"fmt"
	"io"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/record"
	"chalkfield/sim/misfit"
	"chalkfield/sim/robot"
)

// Misfits says what of a robot cannot work on a field, and what to write instead. Where all can it says nothing.
func Misfits(w io.Writer, robot *robot.Robot, field *fields.Field) error {
	out := &strings.Builder{}
	for _, m := range misfit.Find(robot, field) {
		fmt.Fprintf(out, "Warning   %s\n", strings.ReplaceAll(m.String(), "\n", "\n          "))
	}
	if out.Len() > 0 {
		fmt.Fprintf(out, "          (on %s, %s: --field names another)\n", field.Title, field.Name)
	}
	_, err := io.WriteString(w, out.String())
	return err
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
