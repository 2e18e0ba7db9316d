package sim

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// A robot that pushes a wall gets hot: at most the lasting current of three motors a side is left, each in the time
// that its file tells (IEC 60255-149, see robot.PushesFor; the tyres hold, so that the motors stand). Where it then
// stands without volts, asleep or not, it cools as e^(-t/tau).
func TestARobotThatPushesAWallGetsHot(t *testing.T) {
	spec := cart(func(r *robot.Robot) {
		m := &r.Motors[0]
		m.Limit, m.Lasting, m.HeatTime = 0, 0.5, 8
		r.Battery = robot.Battery{Open: 6} // V: the tyres hold what the motors push
	})
	w := build(t, yard(4, 4), Entry{Spec: spec, Start: geom.Pose{X: 3.799, Y: 2}})
	r := w.robots[0]
	r.SetDriveVolts(12, 12)
	w.run(1)
	stalled := r.TrainAmps()[0] / 3
	for r.Heat() < robot.Hot && w.Time() < 20 {
		w.Step()
	}
	want := -8 * math.Log(1-robot.Hot*0.5*0.5/(stalled*stalled))
	if math.Abs(w.Time()/want-1) > 0.02 { // what it takes to run up to the wall
		t.Errorf("at %.3f A it is hot after %.3f s, want %.3f s", stalled, w.Time(), want)
	}
	w.run(60)
	if amps := r.TrainAmps(); math.Abs(amps[0]-3*0.5) > 1e-3 || r.Heat() > 1 {
		t.Errorf("after a minute %.4f A, heat %.4f", amps[0], r.Heat())
	}
	hot := r.Heat()
	r.SetDriveVolts(0, 0)
	w.run(8)
	if want := hot * math.Exp(-1); math.Abs(r.Heat()/want-1) > 0.02 || !r.body.IsSleeping() {
		t.Errorf("after 8 s of rest heat %.4f, want %.4f; asleep: %v", r.Heat(), want, r.body.IsSleeping())
	}
	if e := r.Energy(); math.Abs(rest(e)) > 1e-5+1e-9*e.Taken {
		t.Errorf("%g J are lost of %+v", rest(e), e)
	}
}

// A lift whose motor is too hot to hold its load tells that it is stalled, though its current is far below the stall's.
func TestAHotLiftIsStalled(t *testing.T) {
	spec := cart(func(r *robot.Robot) {
		hot := r.Motors[0]
		hot.Name, hot.Limit, hot.Lasting, hot.HeatTime = "hot", 0, 0.4, 2
		r.Motors = append(r.Motors, hot)
		r.Parts = []robot.Part{{Name: "lift", Kind: robot.KindLift, Lift: &robot.Lift{
			Powered:  robot.Powered{Motor: 1, Count: 1, Gear: 5, Efficiency: 0.8, Inertia: 1e-5},
			Elevator: true, Radius: 0.02, Load: 1.5, High: 0.5, Within: 0.01,
		}}}
	})
	w := build(t, yard(4, 4), Entry{Spec: spec, Start: geom.Pose{X: 2, Y: 2}})
	r := w.robots[0]
	r.Do(0, robot.Command{Verb: robot.Volts, Value: 10})
	w.run(20)
	s := r.Look(0)
	if !s.Stalled || math.Abs(s.Amps-0.4) > 1e-3 || s.Heat < 0.999 {
		t.Errorf("after 20 s: %+v", s)
	}
}
