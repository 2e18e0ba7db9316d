package sim

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// holding gives a cart's tyres a static friction.
func holding(static float64) func(*robot.Robot) {
	return func(r *robot.Robot) {
		for i := range r.Wheels {
			r.Wheels[i].Static = static
		}
	}
}

// Statics: a robot against a wall spins its wheels from 2 k G V/(R r) = static mu m g on (Coulomb); once they spin they
// do so down to mu m g.
func TestTyresBreakLooseAtTheirStaticFriction(t *testing.T) {
	const static, mu, mass = 1.3, 0.8, 10.0
	spec := textbook(0.5, 0.02, 5, 0.04, mass)
	spec.Drive.Creep = 0.06
	holding(static)(spec)
	sliding := mu * mass * Gravity / (2 * 0.02 * 5 / (0.5 * 0.04)) // V
	w := build(t, yard(4, 4), Entry{Spec: spec, Start: geom.Pose{X: 3.8, Y: 2}})
	r := w.robots[0]
	for _, c := range []struct {
		volts float64
		spins bool
	}{{0.9 * sliding, false}, {1.28 * sliding, false}, {1.32 * sliding, true}, {1.1 * sliding, true},
		{0.98 * sliding, false}, {1.28 * sliding, false}} {
		r.SetDriveVolts(c.volts, c.volts)
		w.run(1)
		if speed := r.WheelSpeeds()[0]; (speed > 0.01) != c.spins {
			t.Errorf("at %.3f times the volts that sliding takes the rims run at %.4f m/s", c.volts/sliding, speed)
		}
	}
}

// A robot thrown sideways at v0 slides d = integral of v dv/(mu(v) g), mu(v) = mu (1 + (s - 1) e^-((v - c)/v0)^2) with
// the creep c = min(1, v/0.5) v0: by Simpson's rule here. Part of a step's path is the tolerance, a tenth of what
// static friction takes off at most.
func TestStaticFrictionFallsOffAsATyreSlides(t *testing.T) {
	const v0, creep, mu = 0.3, 0.06, 0.8
	way := func(static float64) float64 {
		over := func(v float64) float64 {
			beyond := (v - creep*min(1, v/rollingFor)) / creep
			return v / (mu * Gravity * (1 + (static-1)*math.Exp(-beyond*beyond)))
		}
		const n = 1000
		sum := over(0) + over(v0)
		for i := 1; i < n; i++ {
			sum += float64(2+2*(i%2)) * over(v0*float64(i)/n)
		}
		return sum * v0 / n / 3
	}
	for _, static := range []float64{1, 1.3, 2} {
		spec := cart(ideal, holding(static), func(r *robot.Robot) { r.Drive.Creep = creep })
		w := buildAt(t, stepLength/20, yard(4, 8), Entry{Spec: spec, Start: geom.Pose{X: 2, Y: 2}})
		w.robots[0].launch(0, v0, 0)
		w.run(0.3)
		if got, want := w.robots[0].Pose().Y-2, way(static); math.Abs(got-want) > 2e-5 || way(1)-way(2) < 2e-4 {
			t.Errorf("static %g: %.6f m, want %.6f", static, got, want)
		}
	}
}

// An omni wheel that slips sideways on its rollers still sticks along; a traction wheel that slides sideways does not.
func TestRollersThatTurnLeaveATyreItsGripAlong(t *testing.T) {
	omni, traction := staticFriction{0.9, 0.1, 1.5}, staticFriction{0.9, 0.9, 1.5}
	rollers, tread := omni.factor(0, 0.3, 0.03, 0.06), traction.factor(0, 0.3, 0.03, 0.06)
	if rollers < 1.3 || tread > 1.001 {
		t.Errorf("at 0.3 m/s sideways %.3f times on rollers, %.3f times on a tread", rollers, tread)
	}
}
