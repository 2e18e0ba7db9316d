package misfit

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"chalkfield/assets"
	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// bench is a robot and a field of its own copies, whose hull is 400 mm by 300 mm and whose pieces are discs of 60 mm
// radius.
type bench struct {
	robot *robot.Robot
	field *fields.Field
}

const front, radius = 0.2, 0.06 // m

func newBench(t testing.TB) bench {
	t.Helper()
	robot, err := robot.OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	field, err := fields.Find("core_haul")
	if err != nil {
		t.Fatal(err)
	}
	robot.Chassis.Length, robot.Chassis.Width = 2*front, 0.3
	field.PieceKinds = []fields.PieceKind{{Name: "disc", Radius: radius}}
	b := bench{robot, field}
	b.conveyor().Exit, b.conveyor().Out = geom.Vec{X: front + radius}, geom.Pose{X: -front - radius, Heading: 3.1416}
	b.intake().Mouth = geom.Rect(geom.Vec{X: 0.1, Y: -0.1}, geom.Vec{X: front + radius + 0.01, Y: 0.1})
	return b
}

func (b bench) part(kind robot.Kind) *robot.Part {
	for i := range b.robot.Parts {
		if b.robot.Parts[i].Kind == kind {
			return &b.robot.Parts[i]
		}
	}
	panic("the hauler has no " + kind)
}

func (b bench) intake() *robot.Intake     { return b.part(robot.KindIntake).Intake }
func (b bench) conveyor() *robot.Conveyor { return b.part(robot.KindConveyor).Conveyor }
func (b bench) clamp() *robot.Clamp       { return b.part(robot.KindClamp).Clamp }
func (b bench) claw() *robot.Claw         { return b.part(robot.KindClaw).Claw }
func (b bench) scorer() *robot.Scorer     { return b.part(robot.KindScorer).Scorer }

func (b bench) mouth(corners ...geom.Vec) { b.intake().Mouth = corners }

// Each case makes one fault, or nearly one (want: ""). The distances are worked out by hand from the hull above.
func TestFindsWhatCannotWork(t *testing.T) {
	for _, c := range []struct {
		name    string
		make    func(b bench)
		want    string // part, and what is said; "": nothing
		instead string
	}{
		{"as it is", func(bench) {}, "", ""},
		{"mouth 30 mm before the hull", func(b bench) {
			b.mouth(geom.Vec{X: 0.1, Y: -0.1}, geom.Vec{X: 0.23, Y: -0.1}, geom.Vec{X: 0.23, Y: 0.1})
		},
			"bot.intake: no piece gets into its mouth, which ends 30 mm from the hull: a disc's centre stays 60 mm away",
			`["280 mm", "-100 mm"]`},
		{"mouth inside the hull", func(b bench) {
			b.mouth(geom.Vec{X: 0.1, Y: -0.1}, geom.Vec{X: 0.16, Y: -0.1}, geom.Vec{X: 0.16, Y: 0.1})
		},
			"which ends 40 mm inside the hull", `["280 mm", "-100 mm"]`},
		{"mouth with one far corner", func(b bench) {
			b.mouth(geom.Vec{X: 0.1, Y: -0.1}, geom.Vec{X: 0.23, Y: -0.1}, geom.Vec{X: 0.27, Y: 0.1})
		}, "", ""},
		{"mouth beyond the side", func(b bench) {
			b.mouth(geom.Vec{X: 0, Y: 0.1}, geom.Vec{X: 0.1, Y: 0.1},
				geom.Vec{X: 0.1, Y: 0.22})
		}, "", ""},
		{"mouth beyond a corner of the hull, 64 mm away", func(b bench) { // 45 mm on and 45 mm aside
			b.mouth(geom.Vec{X: 0.1, Y: 0.1}, geom.Vec{X: 0.2, Y: 0.1}, geom.Vec{X: 0.245, Y: 0.195})
		}, "", ""},
		{"a square piece comes nearer than its corners", func(b bench) { // 60 mm to a corner, 42.4 mm to a flat
			b.field.PieceKinds[0].Corners = 4
			b.mouth(geom.Vec{X: 0.1, Y: -0.1}, geom.Vec{X: 0.245, Y: -0.1}, geom.Vec{X: 0.245, Y: 0.1})
		}, "", ""},
		{"the slimmest kind counts for a mouth", func(b bench) {
			b.field.PieceKinds = append(b.field.PieceKinds, fields.PieceKind{Name: "wand", Radius: 0.02})
			b.mouth(geom.Vec{X: 0.1, Y: -0.1}, geom.Vec{X: 0.23, Y: -0.1}, geom.Vec{X: 0.23, Y: 0.1})
		}, "", ""},
		{"exit 30 mm before the hull", func(b bench) { b.conveyor().Exit.X = 0.23 },
			"bot.conveyor: run backwards it is stuck: exit is 30 mm from the hull, a disc needs 60 mm to leave",
			`exit = ["260 mm", "0 mm"]`},
		{"exit a little near, as contacts allow", func(b bench) { b.conveyor().Exit.X = 0.256 }, "", ""},
		{"out inside the hull", func(b bench) { b.conveyor().Out.X = -0.19 },
			"bot.conveyor: where no goal is in reach it is stuck: out is 10 mm inside the hull", `out = ["-260 mm", "0 mm"]`},
		{"out without a scorer", func(b bench) {
			b.conveyor().Out.X = -0.19
			*b.part(robot.KindScorer) = robot.Part{Name: "other", Kind: robot.KindClaw, Claw: b.claw()}
		}, "run forwards it is stuck", ""},
		{"the bulkiest kind counts for an exit", func(b bench) {
			b.field.PieceKinds = append(b.field.PieceKinds, fields.PieceKind{Name: "drum", Radius: 0.07})
		}, "a drum needs 70 mm", ""},
		{"seat of the clamp at the hull", func(b bench) { b.clamp().At.X = -0.22 },
			"bot.clamp: no goal gets to its seat: at is 20 mm from the hull, a sled's centre stays 130 mm away",
			`at = ["-330 mm"`},
		// a sled's corner is 198 mm from its centre
		{"seat of the clamp 500 mm off", func(b bench) { b.clamp().At.X = -front - 0.5 },
			"bot.clamp: a goal in its seat hangs in the air: at is 500 mm from the hull, which leaves 302 mm between them",
			`at = ["-330 mm"`},
		{"seat of the clamp at the end of long jaws", func(b bench) { b.clamp().At.X = -front - 0.44 }, "", ""},
		{"drag that the motors cannot overcome", func(b bench) { b.robot.Drive.Drag = 50 },
			"bot.drive: its motors cannot turn its wheels: a train takes 60", "less drag"},
		{"a motor for less than half the battery", func(b bench) { b.robot.Motors[b.robot.Drive.Motor].Nominal = 6 },
			"bot.drive: the battery has 12.5 V, and the motor's values are of 6 V: it turns 2.1 times as fast", "were measured"},
		{"regulator above the pressure", func(b bench) { b.robot.Air.Pressure, b.robot.Air.Regulator = 3e5, 4e5 },
			"bot.air: its reservoir starts with 300 kPa, below the 400 kPa of its regulator", "leave regulator out"},
		{"regulator at the pressure", func(b bench) { b.robot.Air.Pressure, b.robot.Air.Regulator = 4e5, 4e5 }, "", ""},
		{"nothing to clamp", func(b bench) {
			for i := range b.field.GoalKinds {
				b.field.GoalKinds[i].Fixed = true
			}
		}, "bot.clamp: Core Haul has no goal that can be pushed", ""},
		{"claw inside the hull", func(b bench) { b.claw().At.X = -0.19 },
			"bot.claw: it reaches no piece: at is 10 mm inside the hull", `at = ["-260 mm"`},
		// 100 kPa on 8 mm: 5.03 N
		{"spring stronger than the air", func(b bench) { b.robot.Air.Pressure, b.claw().Piston.Spring = 100e3, 10 },
			"bot.claw: its piston cannot move: 100 kPa push with 5.03 N, its spring with 10 N", `"4 N"`},
		{"lift that no part names", func(b bench) { b.claw().Lift, b.scorer().Lift = -1, -1 },
			"bot.lift: it carries nothing", `lift = "lift"`},
		{"lift that no part names, and nothing to carry", func(b bench) {
			b.claw().Lift, b.scorer().Lift, b.field.Pieces = -1, -1, nil
		}, "", ""},
		// at 15 deg 0.4 kg on 240 mm pull with 0.909 N m, the spring helps with 0.5, friction holds with 0.08; 0.489 N m take
		// 0.489/(0.2105 x 6 x 0.8) + 0.2 = 0.684 A, at 3 ohm 2.05 V, which 0.8 V/deg give for 2.57 deg
		{"lift that sags", func(b bench) { b.part(robot.KindLift).Lift.Gains.Hold = 0 },
			`bot.lift: coming from below it may stop "2.566 deg" short of "carry", and only "2 deg" counts as there`, "hold"},
		// with 2 kg: 4.547 - 0.5 + 0.08 = 4.127 N m, 4.084 A and 0.2 A more
		{"lift that its motor cannot lift", func(b bench) { b.part(robot.KindLift).Lift.Load = 2 },
			`bot.lift: its motors cannot lift it at "carry": that takes 4.28 A of each, they give 4.17 A`, "gear"},
		{"lift that sags until an integral lifts it", func(b bench) {
			b.part(robot.KindLift).Lift.Gains.Hold, b.part(robot.KindLift).Lift.Gains.I = 0, 1
		}, "", ""},
		{"scorer without clamp and lift", func(b bench) { b.scorer().Clamp, b.scorer().Lift = -1, -1 },
			`bot.scorer: it never gets to the height "rack" of the goals of Core Haul`, `lift = "lift"`},
		{"belt that nothing feeds", func(b bench) {
			spare := *b.conveyor()
			b.robot.Parts = append(b.robot.Parts, robot.Part{Name: "belt", Kind: robot.KindConveyor, Conveyor: &spare})
		}, "bot.belt: no piece ever gets onto it", `into = "belt"`},
		{"gate that throws into the hull", func(b bench) { b.gate(geom.Pose{Y: 0.1, Heading: math.Pi / 2}) },
			"bot.gate: thrown out it is stuck: out is", `out = ["0 mm", "`},
		{"gate that throws far enough", func(b bench) { b.gate(geom.Pose{Y: 0.3, Heading: math.Pi / 2}) }, "", ""},
		{"gate whose air cannot move it", func(b bench) {
			b.gate(geom.Pose{Y: 0.3, Heading: math.Pi / 2}).Piston.Spring = 100
		}, "bot.gate: its piston cannot move", "bore"},
		{"a field without pieces and goals", func(b bench) {
			b.field.PieceKinds, b.field.Goals, b.field.GoalKinds = nil, nil, nil
			b.intake().Mouth, b.conveyor().Exit = geom.Rect(geom.Vec{}, geom.Vec{X: 0.1, Y: 0.1}), geom.Vec{}
		}, "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t)
			c.make(b)
			said := fmt.Sprint(Find(b.robot, b.field))
			switch {
			case c.want == "" && said != "[]":
				t.Errorf("warns: %s", said)
			case !strings.Contains(said, c.want) || !strings.Contains(said, c.instead):
				t.Errorf("says %s\nwant %q and %q", said, c.want, c.instead)
			}
		})
	}
}

// gate adds a gate that throws out somewhere.
func (b bench) gate(out geom.Pose) *robot.Gate {
	g := &robot.Gate{On: 1, Along: 0.2, Out: out, Into: -1, Piston: robot.Piston{Bore: 0.012, Spring: 10}}
	b.robot.Parts = append(b.robot.Parts, robot.Part{Name: "gate", Kind: robot.KindGate, Gate: g})
	return g
}

// What comes with the program is warned of nowhere that it is meant for.
func TestTheEmbeddedRobotsFitTheirFields(t *testing.T) {
	for _, name := range assets.RoutineNames() {
		fieldName, robotName := assets.RoutineHome(name)
		field, err1 := fields.Find(fieldName)
		robot, err2 := robot.OpenEmbedded(robotName)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if found := Find(robot, field); len(found) > 0 {
			t.Errorf("%s on %s: %v", robotName, fieldName, found)
		}
	}
}

// A place put right is one that is no longer warned of.
func TestWhatIsToBeWrittenMendsIt(t *testing.T) {
	for x := -0.3; x <= 0.3; x += 0.02 {
		for _, along := range []float64{0, 1, 2, 3.1, -1.5} {
			h := hull(robot.Chassis{Length: 2 * front, Width: 0.3}.Shape())
			if at := h.outward(geom.Vec{X: x, Y: 0.05}, along, radius); h.clearance(at) < radius-1e-6 {
				t.Errorf("from %.2f m along %.1f rad: %v is %.3f m away", x, along, at, h.clearance(at))
			}
		}
	}
}
