package motion

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/sim/robot"
)

// strong is a machine whose motors limit nothing.
func strong(speed, accel float64) *ability {
	return &ability{
		Model:  robot.Model{KV: 1e-3, KA: 1e-3, TurnKV: 1e-3, TurnKA: 1e-3, Track: 0.3, Volts: 12},
		usable: 12, speed: speed, accel: accel, turnRate: 100, turnAccel: 1e4, side: 100,
	}
}

// A straight curve is a trapezoid: T = d/v + v/a or 2 sqrt(d/a), Lynch & Park 9.2. The grid rounds the corners by less
// than half a millisecond.
func TestStraightCurveTakesTheTrapezoidsTime(t *testing.T) {
	for _, c := range []struct{ distance, seconds float64 }{{2, 2.146667}, {0.3, 0.692820}} {
		var line curve
		line.line(geom.Vec{}, geom.Vec{X: c.distance})
		line.time(strong(1.2, 2.5), false, 0, 0)
		if math.Abs(line.seconds()-c.seconds) > 5e-4 {
			t.Errorf("%g m: %.6f s, want %.6f", c.distance, line.seconds(), c.seconds)
		}
	}
}

// v = sqrt(mu g r): Meriam & Kraige, Dynamics; a_x = sqrt((mu g)^2 - (v^2/r)^2): Rajamani, Vehicle Dynamics and Control
// (both from memory; the numbers are the formulas').
func TestCurveSpeedAndGripLeftAreThePublishedOnes(t *testing.T) {
	a := strong(10, 0.8*9.81)
	a.side = 0.8 * 9.81
	if got := a.curveSpeed(1/0.5, 0); math.Abs(got-1.98091) > 5e-6 {
		t.Errorf("mu 0.8, r 0.5 m: %.5f m/s, want 1.98091", got)
	}
	a.accel, a.side = 0.9*9.80665, 0.9*9.80665
	if got := a.gripAlong(1.5, 1/0.5); math.Abs(got-7.592629) > 5e-6 {
		t.Errorf("mu 0.9, r 0.5 m, 1.5 m/s: %.6f m/s^2, want 7.592629", got)
	}
}

// Every plan keeps what the machine can do: speed, side grip, turning rate, acceleration, and the voltage of the outer
// train, at every node.
func TestTimedCurveKeepsTheMachinesLimits(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		m := drawMachine(t)
		a, err := newAbility("trace", m.Model(), Options{}, m.Terminal())
		if err != nil {
			t.Fatal(err)
		}
		points := append([]geom.Vec{{}}, drawPoints(t, 6)...)
		points = thinned(points[0], points[1:])
		if len(points) < 2 {
			return
		}
		s := newSpline(points, nil)
		var c curve
		s.lay(&c, points, fine)
		c.time(&a, false, 0, 0)
		for i, n := range c.nodes {
			if n.speed > crawl+1e-9 {
				bend := math.Abs(n.bend)
				if n.speed > a.speed+1e-9 || n.speed*n.speed*bend > a.side*1.001 || n.speed*bend > a.turnRate*1.001 {
					t.Fatalf("node %d: %.3f m/s at bend %.3f 1/m, limits %.3f m/s, %.3f m/s^2, %.3f rad/s", i, n.speed, n.bend,
						a.speed, a.side, a.turnRate)
				}
				if volts := a.KS + (a.KV+a.TurnKV*bend)*n.speed; volts > a.usable+1e-9 {
					t.Fatalf("node %d: %.2f V of %.2f V", i, volts, a.usable)
				}
			}
			if rate := math.Abs(c.bendRate(i)); n.speed > crawl+1e-9 && n.speed*n.speed*rate > a.turnAccel*1.001 {
				t.Fatalf("node %d: turns on by %.2f rad/s^2, limit %.2f", i, n.speed*n.speed*rate, a.turnAccel)
			}
			if i == 0 {
				continue
			}
			last := c.nodes[i-1]
			gain := (n.speed*n.speed - last.speed*last.speed) / (2 * (n.s - last.s))
			if math.Abs(gain) > a.accel*1.001 {
				t.Fatalf("node %d: %.3f m/s^2, limit %.3f", i, gain, a.accel)
			}
			if n.t <= last.t {
				t.Fatalf("node %d: time does not advance from %g to %g", i, last.t, n.t)
			}
		}
	})
}

// The reference between the nodes is a motion: its place moves as its speed says, its heading as its turning rate.
func TestReferenceMovesAsItsSpeedsSay(t *testing.T) {
	var c curve
	c.bow(geom.Pose{}, geom.Pose{X: 1.2, Y: 0.7, Heading: 0.3}, 0.5, 0.5, fine)
	m := typical()
	a, _ := newAbility("dock", m.Model(), Options{}, 12)
	c.time(&a, false, 0, 0)
	const dt = 1e-3
	node := 0
	var last, r reference
	for i := 0; float64(i)*dt < c.seconds(); i++ {
		if r, node = c.reference(float64(i)*dt, node); i > 0 {
			way := math.Hypot(r.at.X-last.at.X, r.at.Y-last.at.Y)
			if math.Abs(way-(r.speed+last.speed)/2*dt) > 2e-5 {
				t.Fatalf("at %.3f s: moved %.6f m at %.3f m/s", float64(i)*dt, way, r.speed)
			}
			if turned := r.heading - last.heading; math.Abs(turned-(r.turn+last.turn)/2*dt) > 2e-4 {
				t.Fatalf("at %.3f s: turned %.6f rad at %.3f rad/s", float64(i)*dt, turned, r.turn)
			}
		}
		last = r
	}
	if end, _ := c.reference(c.seconds()+1, node); end.at != c.end().At() || end.speed != 0 {
		t.Errorf("ends at %v with %g m/s, want %v at rest", end.at, end.speed, c.end())
	}
}

// A weak motor brakes a slow robot less than a fast one, whose own voltage helps: V = kA a - kV v - kS must not exceed
// what there is.
func TestPlanBrakesNoHarderThanTheVoltageGives(t *testing.T) {
	m := newMachine(2, 0.25, 2.2, 10, 1.1)
	a, err := newAbility("ahead", m.Model(), Options{}, 9.6)
	if err != nil {
		t.Fatal(err)
	}
	var c curve
	c.line(geom.Vec{}, geom.Vec{X: 0.5})
	c.time(&a, false, 0, 0)
	for i, n := range c.nodes[1:] {
		last := c.nodes[i]
		brake := (last.speed*last.speed - n.speed*n.speed) / (2 * (n.s - last.s))
		if volts := a.KA*brake - a.KV*n.speed - a.KS; volts > a.usable+1e-6 {
			t.Fatalf("node %d at %.2f m/s: brakes with %.2f V of %.2f V", i, n.speed, volts, a.usable)
		}
	}
}
