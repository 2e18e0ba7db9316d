package rehearse

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/scripting"
	"chalkfield/sim/robot"
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

// Whatever the robot, no motion with default limits tips it: centre of mass 50 to 450 mm up and up to a third of the
// way to the wheels off their middle, weak and strong motors with and without a current limit, six wheels of either
// kind at places of their own. Left out are those that tip at less than 3 m/s^2: as their load shifts it moves the
// place about which they turn, and once in some hundred such robots that tips one.
func TestDefaultLimitsTipNoRobot(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		spec := drawRobot(t)
		if !drives(spec) {
			t.Skip("motors too weak")
		}
		for _, way := range []geom.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
			if spec.TipsAt(way) < 3 {
				t.Skip("it hardly stands")
			}
		}
		rec := rehearsed(t, Setup{Field: wideYard(t, 15), Seed: 1, Nominal: true,
			Entrants: []Entrant{{Robot: spec, Routine: drawWay(t)}}})
		for _, e := range rec.Events {
			switch e.Kind {
			case record.Failure:
				t.Fatal(e.Message())
			case record.Tips:
				t.Errorf("at %.2f s it %s", e.T, e.Sentence(units.Metric))
			}
		}
	})
}

// drives tells whether a robot's motors can do more than set it off, and turn it on the spot with volts to spare.
func drives(r *robot.Robot) bool {
	needs, gives := r.SetsOff()
	m := r.Model()
	most := m.Volts
	if m.Limit > 0 {
		most = min(most, m.Limit)
	}
	return gives > 2*needs && m.KS+m.TurnKS < 0.7*most
}

// wideYard is the practice yard with its walls far away and a time in s.
func wideYard(tb rapid.TB, seconds float64) *fields.Field {
	field, err := fields.OpenEmbedded("practice_yard")
	if err != nil {
		tb.Fatal(err)
	}
	field.Floor = geom.Rect(geom.Vec{X: -10, Y: -10}, geom.Vec{X: 14, Y: 14})
	field.Phases = slices.Clone(field.Phases)
	for i := range field.Phases {
		field.Phases[i].Seconds = seconds
	}
	return field
}

// drawRobot draws a drive base; the rest is what a file may leave out.
func drawRobot(t *rapid.T) *robot.Robot {
	number := func(name string, least, most float64) float64 { return rapid.Float64Range(least, most).Draw(t, name) }
	length, width := number("length", 300, 500), number("width", 300, 500)
	x, y := number("wheelbase", 0.6, 0.9)*length/2, number("track", 0.7, 0.9)*width/2
	limit, kinds := "", rapid.SampledFrom([][3]string{
		{"omni", "omni", "omni"}, {"traction", "omni", "omni"}, {"omni", "traction", "omni"},
		{"traction", "traction", "traction"},
	}).Draw(t, "kinds of wheels")
	torque, amps := number("stall torque", 0.3, 2), 0.0
	speed := number("free speed", 150, 600)
	if amps = number("limit", 0, 4); amps > 1 {
		limit = fmt.Sprintf("limit = \"%.2f A\"\n", amps)
	}
	text := fmt.Sprintf(`title = "drawn"
[chassis]
length = "%.0f mm"
width = "%.0f mm"
mass = "%.2f kg"
centre = ["%.1f mm", "%.1f mm"]
centre_height = "%.0f mm"
[[motors]]
name = "drive"
stall_torque = "%.3f N m"
free_speed = "%.0f rpm"
%s[drive]
per_side = %d
gear = %.2f
`, length, width, number("mass", 2, 15), number("centre along", -0.3, 0.3)*x, number("centre aside", -0.3, 0.3)*y,
		number("centre height", 50, 450), torque, speed, limit, rapid.IntRange(1, 3).Draw(t, "motors a side"),
		number("gear", 0.8, 3))
	middle := number("middle axle", -0.5, 0.5) * x
	axles := []float64{x, middle, -x}
	trains := rapid.SampledFrom([]string{"ddd", "dfd", "ddf", "fdd", "fdf"}).Draw(t, "driven axles")
	for i, at := range axles {
		for side, train := range []string{"left", "right"} {
			if trains[i] == 'f' {
				train, kinds[i] = "free", "omni"
			}
			text += fmt.Sprintf("[[wheels]]\nat = [\"%.1f mm\", \"%.1f mm\"]\ntrain = %q\nkind = %q\n",
				at, (1-2*float64(side))*y, train, kinds[i])
		}
	}
	spec, err := robot.Parse("drawn.toml", []byte(text+sensed))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return spec
}

// sensed are the sensors of a drawn robot.
const sensed = `
[[sensors]]
name = "left_encoder"
encoder = { train = "left", resolution = "0.1 mm" }
[[sensors]]
name = "right_encoder"
encoder = { train = "right", resolution = "0.1 mm" }
[[sensors]]
name = "inertial"
inertial = {}
`

// drawWay draws a routine of four motions within two metres of its start.
func drawWay(t *rapid.T) *scripting.Program {
	place := rapid.Custom(func(t *rapid.T) string {
		return fmt.Sprintf("%d, %d", rapid.IntRange(-200, 3800).Draw(t, "x"), rapid.IntRange(-800, 3200).Draw(t, "y"))
	})
	heading := rapid.IntRange(-179, 180)
	var lua []string
	for range 4 {
		verb := rapid.SampledFrom([]string{"ahead", "face", "dock", "trace", "visit"}).Draw(t, "motion")
		call := ""
		switch verb {
		case "ahead":
			call = fmt.Sprint(rapid.IntRange(-1500, 1500).Draw(t, "distance"))
		case "face":
			call = fmt.Sprint(heading.Draw(t, "heading"))
		case "visit":
			call = place.Draw(t, "point")
		case "dock":
			call = fmt.Sprintf("%s, %d", place.Draw(t, "pose"), heading.Draw(t, "heading"))
		case "trace":
			call = fmt.Sprintf("{{%s}, {%s}}", place.Draw(t, "point"), place.Draw(t, "point"))
		}
		lua = append(lua, fmt.Sprintf("bot.drive:%s(%s)", verb, call))
	}
	return written(t, strings.Join(lua, "\n"))
}
