package sim

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// What the robot file computes for controllers is what the world does.

// embedded reads a robot that comes with the program, with a battery that does not sag.
func embedded(t *testing.T, name string) *robot.Robot {
	t.Helper()
	r, err := robot.OpenEmbedded(name)
	if err != nil {
		t.Fatal(err)
	}
	r.Battery = robot.Battery{Open: 13}
	return r
}

// A steady turn on the spot: trains' speed difference over rate is the effective track, and the volts are
// TurnKV w + TurnKS + KS. The file's track is that at half the free speed, so the volts here are chosen to turn there.
func TestASteadyTurnIsAsTheModelSays(t *testing.T) {
	for _, name := range robot.Embedded() {
		spec := embedded(t, name)
		m := spec.Model()
		rate := m.FreeSpeed / spec.PlainTrack()
		volts := m.TurnKV*rate + m.TurnKS + m.KS
		c := with(t, yard(6, 6), spec, geom.Pose{X: 3, Y: 3})
		c.r.SetDriveVolts(-volts, volts)
		c.wait(2)
		_, _, omega := c.r.Velocity()
		wheels := c.r.WheelSpeeds()
		track := (wheels[1] - wheels[0]) / omega
		t.Logf("%s: plain %.4f m, computed %.4f m, in the world %.4f m; rate %.3f for %.3f rad/s", name, spec.PlainTrack(),
			m.Track, track, omega, rate)
		if math.Abs(track/m.Track-1) > 0.01 {
			t.Errorf("%s: track %.4f m, the model says %.4f", name, track, m.Track)
		}
		if math.Abs(omega/rate-1) > 0.02 {
			t.Errorf("%s: %.3f V turn at %.3f rad/s, the model says %.3f", name, volts, omega, rate)
		}
	}
}

// Straight ahead V = kS + kV v + kA a; within the tyres' grip the creep costs a little speed, no more than the file's
// creep.
func TestStraightDrivingIsAsTheModelSays(t *testing.T) {
	for _, name := range robot.Embedded() {
		spec := embedded(t, name)
		spec.Drive.Efficiency = 1 // losses are counted as in the push, so they do not enter kV
		m := spec.Model()
		c := with(t, yard(12, 6), spec, geom.Pose{X: 1, Y: 3})
		volts := m.KA*0.3*m.Grip + m.KS // 0.3 of the grip at the start
		c.r.SetDriveVolts(volts, volts)
		c.wait(0.1)
		vx, _, _ := c.r.Velocity()
		// First order: v = V/kV (1 - e^(-t kV/kA)) (Åström & Murray).
		want := (volts - m.KS) / m.KV * (1 - math.Exp(-0.1*m.KV/m.KA))
		if math.Abs(vx-want) > 0.03*want {
			t.Errorf("%s: %.4f m/s after 0.1 s, the model says %.4f", name, vx, want)
		}
		c.wait(1.5)
		vx, _, _ = c.r.Velocity()
		if want := (volts - m.KS) / m.KV; math.Abs(vx-want) > 0.01*want {
			t.Errorf("%s: %.4f m/s at %.2f V, the model says %.4f", name, vx, volts, want)
		}
	}
}
