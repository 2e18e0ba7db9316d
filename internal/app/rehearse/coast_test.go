package rehearse

import (
	"math"
	"testing"

	"chalkfield/internal/base/record"
)

// rolledOut is how a hauler comes to rest from 8 V: its speed where the motors get 0 V, and the way from there.
func rolledOut(t *testing.T, way string) (*record.Record, Setup, float64, float64) {
	t.Helper()
	setup := onField(t, "practice_yard", "hauler", written(t, `bot.drive:rest("`+way+`")
		bot.drive:volts(8, 8) wait(0.5) bot.drive:volts(0, 0) wait(4)`))
	setup.Nominal = true
	rec := rehearsed(t, setup)
	for _, s := range rec.Samples {
		if s.T > 0.5-1e-9 {
			return rec, setup, math.Hypot(s.Robots[0].Velocity[0], s.Robots[0].Velocity[1]),
				between(s.Robots[0].True, last(rec).True)
		}
	}
	t.Fatal("the record ends before the motors stop")
	return nil, setup, 0, 0
}

func between(a, b record.Pose) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

// A robot whose motors coast is stopped by F + c v: the motors' friction through the gears that they are driven by,
// drag and viscous friction of the gears, rolling resistance. m x" = -F - c x' from v to rest goes over
//
//	x = m/c (v - F/c ln(1 + c v/F))
//
// (Meriam & Kraige, Dynamics), with m the mass and what turns, as the robot file has them. A sample's way is the
// tolerance.
func TestCoastingGoesAsFarAsFrictionLetsIt(t *testing.T) {
	_, setup, v, way := rolledOut(t, "coast")
	r := setup.Entrants[0].Robot
	d, motor, radius := r.Drive, r.Motors[r.Drive.Motor], r.Wheels[0].Radius
	force := 2 * float64(d.PerSide) * motor.VoltsPerSpeed() * motor.FreeCurrent * d.Gear / d.Efficiency / radius
	force += 2 * d.Drag / radius
	mass := r.Chassis.Mass + 2*float64(d.PerSide)*motor.Inertia*d.Gear*d.Gear/(radius*radius)
	for i, load := range r.WheelLoads() {
		force += r.Wheels[i].Rolling * load
		mass += r.Wheels[i].Inertia / (radius * radius)
	}
	viscous := 2 * d.Viscous / (radius * radius)
	want := mass / viscous * (v - force/viscous*math.Log1p(viscous*v/force))
	if v < 0.5 || math.Abs(way-want) > 0.02*v {
		t.Errorf("from %.3f m/s it coasts %.4f m, want %.4f", v, way, want)
	}
	_, _, v, braked := rolledOut(t, "brake")
	if least := v * v / (2 * r.Model().Grip); braked < least || braked > 0.3*way {
		t.Errorf("braking takes %.4f m: the tyres need %.4f, coasting took %.4f", braked, least, way)
	}
}

// A replay's motors get what the coasting ones made, so that they take no current: it rolls out as the record did.
// 15 mm are lost at the start, by a tick or two at full speed; 116 mm where 0 V are repeated, which brake.
func TestAReplayCoastsAsTheRecordDid(t *testing.T) {
	rec, setup, _, _ := rolledOut(t, "coast")
	setup.Entrants = []Entrant{{Robot: setup.Entrants[0].Robot, Replay: rec}}
	again := rehearsed(t, setup)
	for i := range rec.Samples {
		if off := between(rec.Samples[i].Robots[0].True, again.Samples[i].Robots[0].True); off > 0.02 {
			t.Fatalf("at %g s the replay is %.1f mm off", rec.Samples[i].T, off*1000)
		}
	}
}
