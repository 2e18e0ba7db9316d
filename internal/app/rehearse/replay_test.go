package rehearse

import (
	"math"
	"testing"

	"chalkfield/internal/base/record"
)

// A replay only commands motors, so it may stray from the record, but with nothing in its way by no more than it strays
// within a control tick or two of its correction: 1.2 m/s x 20 ms is 24 mm; twice that is allowed in turns.
const stray = 0.05 // m

// The volts that it repeats are the motors': a controller makes them late and small once, not twice.
func TestAReplayDrivesTheRecordedPath(t *testing.T) {
	for _, late := range []float64{0, 0.15} {
		setup := onField(t, "practice_yard", "hauler", written(t,
			"bot.drive:ahead(600)\nbot.drive:face(90)\nbot.drive:ahead(400, {reverse = true})"))
		setup.Nominal = true
		slow := *setup.Entrants[0].Robot
		slow.Drive.Latency, slow.Drive.DeadBand = late, 10*late
		setup.Entrants[0].Robot = &slow
		rec := rehearsed(t, setup)
		setup.Entrants = []Entrant{{Robot: &slow, Replay: rec}}
		again := rehearsed(t, setup)
		for i := range rec.Samples {
			a, b := rec.Samples[i].Robots[0].True, again.Samples[i].Robots[0].True
			if off := math.Hypot(a[0]-b[0], a[1]-b[1]); off > stray {
				t.Fatalf("%g s late: at %g s the replay is %.0f mm off", late, rec.Samples[i].T, off*1000)
			}
		}
	}
}

// The other side repeats a record on its own half: same score, half-turned end.
func TestAReplayFromTheOtherSideIsMapped(t *testing.T) {
	setup := demo(t)
	setup.Nominal = true
	rec := rehearsed(t, setup)
	setup.Entrants = []Entrant{{Robot: setup.Entrants[0].Robot, Replay: rec, Side: "teal"}}
	again := rehearsed(t, setup)
	a := setup.Field.Mirror(last(rec).True.Geom())
	b := last(again).True.Geom()
	if off := math.Hypot(a.X-b.X, a.Y-b.Y); off > stray {
		t.Errorf("ends %.0f mm from the mapped end", off*1000)
	}
	if again.Sheet.Total[1] < rec.Sheet.Total[0]/2 {
		t.Errorf("the record scored %g, its replay %g", rec.Sheet.Total[0], again.Sheet.Total[1])
	}
}

func last(rec *record.Record) record.RobotSample { return rec.Samples[len(rec.Samples)-1].Robots[0] }
