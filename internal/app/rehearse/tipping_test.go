package rehearse

import (
	"fmt"
	"testing"

	"chalkfield/internal/base/record"
)

// With its centre of mass 400 mm up the hauler tips when it is told to start or stop too hard, and does not by itself:
// the motions' own accelerations and curves keep below what it bears.
func TestMotionsDoNotTipARobotByThemselves(t *testing.T) {
	const way = `
		bot.drive:ahead(900%[1]s)
		bot.drive:ahead(-600%[1]s)
		bot.drive:face(90%[1]s)
		bot.drive:visit(1500, 1500%[1]s)
		bot.drive:dock(900, 900, 180%[1]s)
		bot.drive:trace({{700, 1100}, {900, 1600}, {1500, 1800}}%[1]s)
`
	for _, row := range []struct {
		name, options string
		tips          bool
	}{{"by themselves", "", false}, {"as hard as it can", ", {accel = 9000}", true}} {
		setup := onField(t, "practice_yard", "hauler", written(t, fmt.Sprintf(way, row.options)))
		tall := *setup.Entrants[0].Robot
		tall.Chassis.CentreHeight = 0.4
		setup.Entrants[0].Robot = &tall
		setup.Nominal = true
		rec := rehearsed(t, setup)
		if e, failed := find(rec, record.Failure, ""); failed {
			t.Fatal(e.Message())
		}
		e, tipped := find(rec, record.Tips, "")
		if tipped != row.tips || tipped && (e.Line == 0 || e.Value <= 0 || e.At == nil) {
			t.Errorf("%s: tipped %v, %+v", row.name, tipped, e)
		}
	}
}
