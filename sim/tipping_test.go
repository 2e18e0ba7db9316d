package sim

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

// tall is a cart on strong motors with its centre of mass 400 mm up.
func tall(centre geom.Vec) *robot.Robot {
	return cart(func(r *robot.Robot) {
		r.Chassis.Centre, r.Chassis.CentreHeight = centre, 0.4
		r.Motors[0].StallTorque, r.Motors[0].StallCurrent, r.Motors[0].Limit, r.Motors[0].FreeSpeed = 3, 20, 0, 300
		r.Battery.Resistance = 0
		for i := range r.Wheels {
			r.Wheels[i].Along, r.Wheels[i].Across = 2, 2
		}
	})
}

// tips are the events of tipping in some seconds of which each step is prepared.
func tips(w *World, seconds float64, before func(t float64)) []record.Event {
	var list []record.Event
	for end := w.Time() + seconds; w.Time() < end; {
		before(w.Time())
		w.Step()
		for _, e := range w.TakeEvents() {
			if e.Kind == record.Tips {
				list = append(list, e)
			}
		}
	}
	return list
}

// Statics (Meriam & Kraige, Dynamics, from memory): m a h = m g l, so a = g l/h, with l from the centre of mass to the
// edge of the wheels. The volts rise with the square of time, so that the acceleration rises evenly and passes the
// limit by little: within 2 %.
func TestARobotTipsWhereStaticsSays(t *testing.T) {
	for _, row := range []struct {
		centre, sign, arm float64 // m: of mass along x; of the volts; l
		way               string
	}{
		{0, 1, 0.14, "backwards"}, {-0.04, 1, 0.10, "backwards"}, {0.04, -1, 0.10, "forwards"}, {-0.04, -1, 0.18, "forwards"},
	} {
		w := build(t, yard(20, 20), Entry{Spec: tall(geom.Vec{X: row.centre}), Start: geom.Pose{X: 10, Y: 10}})
		r := w.robots[0]
		want := Gravity * row.arm / 0.4
		got := tips(w, 1, func(time float64) {
			v := row.sign * 5 * want * time * time // an acceleration that grows evenly
			r.SetDriveVolts(v, v)
		})
		if len(got) == 0 || got[0].What != row.way || math.Abs(got[0].Value/want-1) > 0.02 || got[0].Value < want-1e-6 {
			t.Errorf("centre at %.2f m, volts %+.0f: %+v, want %s at %.4f m/s^2", row.centre, row.sign, got, row.way, want)
		} else if at := *got[0].At; math.Hypot(at[0]-10, at[1]-10) > 3 {
			t.Errorf("it tipped at %v", at)
		}
	}
}

// In a corner the acceleration is v^2/r, and the robot tips outwards at g b/(2 h) (statics, as above; the track is 0.32
// m, and two wheels have no scrub). The wheels slow down a little as the tyres take hold, so that the greater speed is
// well above the limit.
func TestARobotTipsOutwardsInACorner(t *testing.T) {
	limit := Gravity * 0.16 / 0.4
	for _, row := range []struct {
		share float64
		want  int
	}{{0.95, 0}, {1.6, 1}} {
		spec := cart(ideal, func(r *robot.Robot) {
			r.Chassis.CentreHeight = 0.4
			for i := range r.Wheels {
				r.Wheels[i].Across = 2
			}
		})
		w := build(t, yard(40, 40), Entry{Spec: spec, Start: geom.Pose{X: 20, Y: 20}})
		r := w.robots[0]
		const radius = 1.0
		v := math.Sqrt(row.share * limit * radius)
		r.launch(v, 0, v/radius)
		r.drive.rollers[0].speed, r.drive.rollers[1].speed = v*(1-0.16/radius)/0.04, v*(1+0.16/radius)/0.04
		got := tips(w, 0.25, func(float64) { r.coast() })
		if len(got) != row.want {
			t.Errorf("left turn at %.2f of the limit: %+v, want %d", row.share, got, row.want)
		} else if row.want > 0 && (got[0].What != "right" || got[0].Value < limit || got[0].Value > 1.1*limit) {
			t.Errorf("left turn: %+v, want right at %.3f m/s^2 and a step's rise more", got[0], limit)
		}
	}
}

// coast has the motors ask for the speed that they have.
func (r *Robot) coast() {
	l := r.drive.lines[0]
	r.SetDriveVolts(l.Nominal*r.drive.rollers[0].speed/l.Free, l.Nominal*r.drive.rollers[1].speed/l.Free)
}

// The figures of an event are along the acceleration: where that is not along the way of falling, the way says so.
func TestTippingAslantIsNamed(t *testing.T) {
	for _, row := range []struct {
		x, y      float64
		way, want string
	}{
		{4, 0, "backwards", ""}, {4, 0.6, "backwards", ""}, {-4, -0.6, "forwards", ""}, {0.6, 4, "right", ""},
		{3.5, -2.5, "backwards", "backwards and to the left"}, {3.5, 2.5, "backwards", "backwards and to the right"},
		{-3.5, -1, "forwards", "forwards and to the left"}, {-1, 4, "right", "forwards and to the right"},
		{1, -4, "left", "backwards and to the left"}, {1, -4, "backwards", "backwards and to the left"},
	} {
		if got := aslant(row.way, geom.Vec{X: row.x, Y: row.y}); got != row.want {
			t.Errorf("%s at (%g, %g): %q, want %q", row.way, row.x, row.y, got, row.want)
		}
	}
	w := build(t, yard(4, 4), Entry{Spec: tall(geom.Vec{}), Start: geom.Pose{X: 2, Y: 2}})
	limit := Gravity * 0.14 / 0.4
	w.robots[0].drive.accel = geom.Vec{X: 1.01 * limit, Y: -0.7 * limit}
	w.robots[0].watchTipping()
	got := w.TakeEvents()
	if len(got) != 1 || got[0].What != "backwards" || got[0].Text != "backwards and to the left" ||
		math.Abs(got[0].Limit-limit*math.Hypot(1.01, 0.7)/1.01) > 1e-4 {
		t.Errorf("%+v", got)
	}
}

// A robot that rocks about the limit is told once, and again only after it stood: below 0.8 of it.
func TestTippingIsToldOnce(t *testing.T) {
	w := build(t, yard(4, 4), Entry{Spec: tall(geom.Vec{}), Start: geom.Pose{X: 2, Y: 2}})
	r := w.robots[0]
	limit, told := Gravity*0.14/0.4, 0
	for i, row := range []struct {
		share float64
		told  int
	}{{0.99, 0}, {1.01, 1}, {0.95, 1}, {1.2, 1}, {0.81, 1}, {1.3, 1}, {0.79, 1}, {1.01, 2}, {-1.01, 2}, {0, 2},
		{-1.01, 3}} {
		r.drive.accel = geom.Vec{X: row.share * limit}
		r.watchTipping()
		if told += len(w.TakeEvents()); told != row.told {
			t.Errorf("step %d, at %.2f of the limit: told %d times, want %d", i, row.share, told, row.told)
		}
	}
}

// What is held moves the centre of mass, and with it the limit: 1.5 kg at the rear edge of 6.5 kg.
func TestCargoChangesWhereARobotTips(t *testing.T) {
	w := build(t, yard(4, 4), Entry{Spec: tall(geom.Vec{}), Start: geom.Pose{X: 2, Y: 2}})
	r := w.robots[0]
	r.load(3, 1.5, geom.Vec{X: -0.14})
	limit := Gravity * (0.14 - 0.14*1.5/8) / 0.4
	for share, want := range map[float64]int{0.999: 0, 1.001: 1} {
		r.drive.accel = geom.Vec{X: share * limit}
		r.balance.tipped = false
		r.watchTipping()
		if got := len(w.TakeEvents()); got != want {
			t.Errorf("at %.3f of the limit told %d times", share, got)
		}
	}
}
