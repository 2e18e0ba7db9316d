package scripting

import (
	"math"
	"slices"
	"testing"

	"chalkfield/internal/base/geom"
)

var middle = geom.Vec{X: 2.1, Y: 1.5}

func TestAFrameIsItsOwnInverse(t *testing.T) {
	p := geom.Pose{X: 0.6, Y: 0.45, Heading: 0.3}
	for kind, want := range map[geom.SymmetryKind]geom.Pose{
		geom.NoSymmetry: p,
		geom.HalfTurn:   {X: 3.6, Y: 2.55, Heading: 0.3 - math.Pi},
		geom.MirrorX:    {X: 3.6, Y: 0.45, Heading: math.Pi - 0.3},
		geom.MirrorY:    {X: 0.6, Y: 2.55, Heading: -0.3},
	} {
		f := geom.Symmetry{Kind: kind, Centre: middle}
		if got := f.Pose(p); !samePose(got, want) {
			t.Errorf("kind %d: %v, want %v", kind, got, want)
		}
		if got := f.Pose(f.Pose(p)); !samePose(got, p) {
			t.Errorf("kind %d: there and back gives %v", kind, got)
		}
		if f.Flips() != (kind == geom.MirrorX || kind == geom.MirrorY) {
			t.Errorf("kind %d flips: %v", kind, f.Flips())
		}
	}
}

func samePose(p, q geom.Pose) bool {
	return math.Hypot(p.X-q.X, p.Y-q.Y) < 1e-12 && math.Abs(geom.WrapAngle(p.Heading-q.Heading)) < 1e-12
}

// A routine that is played in another frame drives the mapped path, and sees the same numbers as in its own.
func TestARoutineIsPlayedFromTheOtherSide(t *testing.T) {
	p := load(t, auto(`
    bot.here(600, 450, 90)
    bot.drive:ahead(300)
    bot.drive:face(20, {way = "right"})
    bot.drive:visit(1200, 900)
    bot.drive:face({600, 450}, {way = "left"})
    bot.drive:dock(900, 600, 180)
    bot.drive:trace({{700, 600}, {500, 900}})
    bot.drive:volts(4, 6)
    wait(0.5)
    bot.drive:rate(200, 60)
    wait(0.5)
    bot.drive:tank(0.3, 0.5)
    wait(0.3)
    bot.drive:arcade(0.4, 0.2)
    wait(0.3)
    bot.drive:stop()
    local at = bot.where()
    note(string.format("%.3f %.3f %.3f %.3f", at.x, at.y, at.heading, bot.sense.gyro:heading()))`))
	rehearsed := func(kind geom.SymmetryKind, reading float64) *stage {
		s := stageOf(t, p, Env{Frame: geom.Symmetry{Kind: kind, Centre: middle}})
		s.robot.readings[2] = reading
		s.play(Auto, 30)
		if f := s.failure(); f != "" {
			t.Fatal(f)
		}
		return s
	}
	own := rehearsed(geom.NoSymmetry, 1)
	for _, kind := range []geom.SymmetryKind{geom.HalfTurn, geom.MirrorX, geom.MirrorY} {
		reading := 1.0
		if (geom.Symmetry{Kind: kind}).Flips() {
			reading = -1 // what the sensor of the mirrored robot gives
		}
		other := rehearsed(kind, reading)
		if !slices.Equal(other.notes(), own.notes()) {
			t.Errorf("kind %d: the routine sees %q, in its own frame %q", kind, other.notes(), own.notes())
		}
		mapped := geom.Symmetry{Kind: kind, Centre: middle}.Pose(own.robot.pose)
		if got := other.robot.pose; math.Hypot(got.X-mapped.X, got.Y-mapped.Y) > 1e-6 ||
			math.Abs(geom.WrapAngle(got.Heading-mapped.Heading)) > 1e-6 {
			t.Errorf("kind %d: the robot ends at %v, want %v", kind, got, mapped)
		}
		if len(other.events) != len(own.events) {
			t.Errorf("kind %d: %d events, in its own frame %d", kind, len(other.events), len(own.events))
		}
	}
}

// A driver steers the robot and not its mirror image.
func TestADriversSticksAreNotMirrored(t *testing.T) {
	s := stageOf(t, load(t, map[string]string{"routine.lua": `return routine { driver = function(bot, pad)
    while true do bot.drive:arcade(pad.left_y, pad.right_x) wait() end end }`}),
		Env{Frame: geom.Symmetry{Kind: geom.MirrorX, Centre: middle}})
	s.pad = func(int) PadState { return PadState{LeftY: 0.5, RightX: 0.25} }
	s.play(Driver, 0.1)
	if s.robot.left != 9 || s.robot.right != 3 {
		t.Errorf("the trains get %g and %g V, want 9 and 3", s.robot.left, s.robot.right)
	}
}
