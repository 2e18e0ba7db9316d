package rehearse

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// onTwoWheels stands a robot on two wheels at its axle, the only ones that turn on the spot without scrubbing.
func onTwoWheels(r *robot.Robot) {
	r.Chassis.Centre = geom.Vec{}
	r.Wheels = []robot.Wheel{r.Wheels[0], r.Wheels[0]}
	for i, side := range []float64{1, -1} {
		r.Wheels[i].At, r.Wheels[i].Train, r.Wheels[i].Across = geom.Vec{Y: side * 0.16}, robot.Train(i), 0.85
	}
	r.Drive.Creep = 0.005
}

// squared drives a square of 4 m by encoders that believe in a track Eb times too narrow, all turns to one side (1 ccw,
// -1 cw), and returns what each turn missed a right angle by (rad, positive: too far) and the true end less the
// believed one.
func squared(t *testing.T, tune func(*robot.Robot), Eb, side float64) (missed, x, y float64) {
	t.Helper()
	lua := ""
	for _, heading := range []float64{90, 180, -90, 0} {
		lua += fmt.Sprintf("bot.drive:ahead(4000) bot.drive:face(%g)\n", side*heading)
	}
	setup := onField(t, "practice_yard", "hauler", written(t, lua))
	setup.Nominal = true
	field, spec := *setup.Field, *setup.Entrants[0].Robot
	field.Floor = geom.Rect(geom.Vec{X: -10, Y: -10}, geom.Vec{X: 14, Y: 14})
	field.Phases = slices.Clone(field.Phases)
	for i := range field.Phases {
		field.Phases[i].Seconds = 40
	}
	tune(&spec)
	spec.Odometry = robot.Odometry{
		Method: robot.ByEncoders, Along: setup.Entrants[0].Robot.Odometry.Along[:2], Across: -1, Inertial: -1,
		Track: spec.EffectiveTrack() / Eb,
	}
	for i, s := range spec.Sensors {
		if s.Kind == robot.Encoder {
			spec.Odometry.Along[s.Encoder.Train] = i
		}
	}
	setup.Field, setup.Entrants[0].Robot = &field, &spec
	end := last(rehearsed(t, setup))
	missed = side * geom.WrapAngle(end.True[2]-end.Belief[2]) / 4
	return missed, end.True[0] - end.Belief[0], side * (end.True[1] - end.Belief[1])
}

// UMBmark's alpha (Borenstein & Feng, IEEE Trans. R&A 12(6), 1996; from memory) is what each turn of a square misses a
// right angle by: pi/2 (1/E_b - 1) for a track E_b times the believed one. On two wheels a driven square gives it. A
// robot whose wheels scrub misses 0.19 degrees more a turn, whatever E_b is: its effective track is that of a steady
// turn, and as a turn begins and ends the tyres creep. Of the 1.76 degrees of E_b = 1.02 that is the 10 % which a
// driven square once differed by; a gyro does not see it. It is the physics, not the arcs: with the turns as they were
// the square's end is the polygon's, L (1 + cos q + cos 2q + cos 3q) for turns by q.
func TestADrivenSquareMissesItsRightAnglesByUMBmarksAlpha(t *testing.T) {
	const deg = math.Pi / 180
	for _, c := range []struct {
		name   string
		tune   func(*robot.Robot)
		excess float64 // rad: missed at E_b = 1
	}{
		{"two wheels", onTwoWheels, 0}, {"hauler", func(*robot.Robot) {}, -0.19 * deg},
	} {
		for _, Eb := range []float64{1, 1.005, 1.02, 0.98} {
			for _, side := range []float64{1, -1} {
				missed, x, y := squared(t, c.tune, Eb, side)
				want := math.Pi/2*(1/Eb-1) + c.excess
				t.Logf("%s, E_b %g, side %2g: missed %.4f deg, want %.4f; ends %.1f, %.1f mm off", c.name, Eb, side, missed/deg,
					want/deg, x*1e3, y*1e3)
				if math.Abs(missed-want) > 0.02*deg {
					t.Errorf("%s, E_b %g, side %g: each turn misses by %.4f deg, want %.4f", c.name, Eb, side, missed/deg, want/deg)
				}
				q := math.Pi/2 + missed
				if px, py := 4*(1+math.Cos(q)+math.Cos(2*q)+math.Cos(3*q)),
					4*(math.Sin(q)+math.Sin(2*q)+math.Sin(3*q)); math.Hypot(x-px, y-py) > 0.01 {
					t.Errorf("%s, E_b %g, side %g: it ends (%.1f, %.1f) mm off, the polygon (%.1f, %.1f)", c.name, Eb, side, x*1e3,
						y*1e3, px*1e3, py*1e3)
				}
			}
		}
	}
}
