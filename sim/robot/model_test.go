package robot

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
)

// textbook is a robot on two trains of two wheels, without losses and without inertia but the chassis'.
func textbook() *Robot {
	r := &Robot{
		Chassis: Chassis{Length: 0.4, Width: 0.4, Mass: 20, Inertia: 0.5},
		Motors:  []Motor{{StallTorque: 1, FreeSpeed: 20, StallCurrent: 5, Nominal: 12}},
		Drive:   Drive{PerSide: 1, Gear: 1, Efficiency: 1, Creep: 0.01},
	}
	for _, x := range []float64{0.1, -0.1} {
		for train, y := range []float64{0.15, -0.15} {
			r.Wheels = append(r.Wheels, Wheel{At: geom.Vec{X: x, Y: y}, Radius: 0.05, Train: Train(train), Along: 0.9,
				Across: 0.05})
		}
	}
	return r
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.9g, want %.9g (within %g)", what, got, want, tolerance)
	}
}

// A robot on N motors: R .5 ohm, k .02, m 20, r .04, G 5, N 2, 12 V: tau 0.8 s, v0 4.8 m/s (from the motor line,
// Franklin, Powell, Emami-Naeini ch. 2; from memory). With that motor Ts = k V/R = .48 N m and w0 = V/k = 600 rad/s,
// each train has one: kV = V/v0 = 2.5, and tau = kA/kV.
func TestModelOfTheTextbookRobot(t *testing.T) {
	r := textbook()
	r.Motors[0] = Motor{StallTorque: 0.48, FreeSpeed: 600, StallCurrent: 24, Nominal: 12}
	r.Drive.Gear = 5
	for i := range r.Wheels {
		r.Wheels[i].Radius = 0.04
	}
	m := r.Model()
	near(t, "free speed", m.FreeSpeed, 4.8, 1e-12)
	near(t, "kV", m.KV, 2.5, 1e-12)
	near(t, "time constant", m.KA/m.KV, 0.8, 1e-12)
	// Turning: a train's push is F = f V with f = Ts G/(Vn r) = 5 N/V; J alpha = F b, so kA = J/(f b).
	near(t, "turning kA", m.TurnKA, 0.5/(5*0.3), 1e-12)
}

// A train with two motors of 1 N m at the standstill, 1:2, 90 %, on wheels of 50 mm pushes with 2 x 1 x 2 x 0.9/0.05 =
// 72 N (data sheet's stall torque, statics). A current limit halfway between free and stall current leaves half of it;
// one below the free current leaves nothing.
func TestStalledPushIsTheDataSheetsTorqueWithinTheLimit(t *testing.T) {
	r := textbook()
	r.Drive = Drive{PerSide: 2, Gear: 2, Efficiency: 0.9}
	for limit, want := range map[float64]float64{0: 144, 6: 144, 2.75: 72, 0.4: 0} {
		r.Motors[0] = Motor{StallTorque: 1, FreeSpeed: 20, StallCurrent: 5, FreeCurrent: 0.5, Nominal: 12, Limit: limit}
		near(t, "stalled push", r.StalledPush(), want, 1e-9)
	}
}

// Sides of 0.6 and 1.2 times the motor push 72 x 1.8 = 129.6 N together. A limit of 2.75 A leaves each motor that less
// its friction's share of 0.5 A, at 1 N m for 4.5 A: 72 (2.45 + 2.15)/4.5 = 73.6 N. A controller counts on the mean,
// 0.9: a volt accelerates by so much; what sets off is the weaker, as on a file with that motor on both sides.
func TestSidesThatDifferPushAsTheirMotorsDo(t *testing.T) {
	uneven := func(left, right, limit float64) *Robot {
		r := textbook()
		r.Drive = Drive{PerSide: 2, Gear: 2, Efficiency: 0.9, LeftPush: left, RightPush: right}
		r.Motors[0] = Motor{StallTorque: 1, FreeSpeed: 20, StallCurrent: 5, FreeCurrent: 0.5, Nominal: 12, Limit: limit}
		r.Battery.Open = 12
		return r
	}
	near(t, "stalled push", uneven(0.6, 1.2, 0).StalledPush(), 129.6, 1e-9)
	near(t, "limited push", uneven(0.6, 1.2, 2.75).StalledPush(), 73.6, 1e-9)
	near(t, "kA", uneven(0.6, 1.2, 0).Model().KA, uneven(1, 1, 0).Model().KA/0.9, 1e-12)
	near(t, "kV", uneven(0.6, 1.2, 0).Model().KV, uneven(1, 1, 0).Model().KV, 1e-12)
	_, gives := uneven(0.6, 1.2, 0).SetsOff()
	_, weak := uneven(0.6, 0.6, 0).SetsOff()
	near(t, "sets off with", gives, weak, 1e-12)
}

// The reflected inertia of rotors and wheels adds (n Jm G^2 + sum Jw)/r^2 to the mass (kinetic energy at the floor).
func TestReflectedInertiaAddsMass(t *testing.T) {
	r := textbook()
	plain := r.Model().KA
	r.Motors[0].Inertia, r.Drive.Gear = 1e-4, 1
	for i := range r.Wheels {
		r.Wheels[i].Inertia = 2e-4
	}
	extra := 2 * (1e-4 + 2*2e-4) / (0.05 * 0.05)
	near(t, "kA", r.Model().KA, plain*(20+extra)/20, 1e-12)
}

// Coulomb: mu g, over the wheels that drive.
func TestGripOfDrivenAndFreeWheels(t *testing.T) {
	r := textbook()
	along, side := r.Grips()
	near(t, "along", along, 0.9*Gravity, 1e-6)
	near(t, "side", side, 0.05*Gravity, 1e-6)
	r.Wheels[0].Train, r.Wheels[1].Train = Free, Free
	along, _ = r.Grips()
	near(t, "along with half the weight on free wheels", along, 0.45*Gravity, 1e-6)
}

// Statics: a centre of mass a quarter of the wheelbase ahead of the middle puts three quarters of the weight on the
// front.
func TestWheelLoadsBalanceTheWeight(t *testing.T) {
	r := textbook()
	r.Chassis.Centre = geom.Vec{X: 0.05}
	loads := r.WheelLoads()
	near(t, "front", loads[0]+loads[1], 0.75*20*Gravity, 1e-4)
	near(t, "rear", loads[2]+loads[3], 0.25*20*Gravity, 1e-4)
}

// Wheels that slide freely sideways do not scrub: the track is the geometry's. With grip across, a skid-steered base
// needs more wheel speed than the geometry says, and the trains push against the scrub torque sum(mu N |x|) while the
// tyres slide sideways: at most mu m g l/2 for wheels l/2 before and behind the middle (Coulomb).
func TestEffectiveTrackGrowsWithScrub(t *testing.T) {
	r := textbook()
	for i := range r.Wheels {
		r.Wheels[i].Across = 1e-6
	}
	near(t, "no scrub", r.EffectiveTrack(), 0.3, 1e-6)
	near(t, "no scrub force", r.Model().TurnKS, 0, 1e-4)
	last := 0.3
	for _, across := range []float64{0.1, 0.3, 0.6} {
		for i := range r.Wheels {
			r.Wheels[i].Across = across
		}
		turn := r.turning()
		if turn.track <= last {
			t.Errorf("across %.1f: track %.5f m, not above %.5f", across, turn.track, last)
		}
		last = turn.track
		most := across * 20 * Gravity * 0.1 / 0.3 // each train's share of the scrub torque over the track
		if turn.force > most*(1+1e-9) || turn.force < 0.8*most {
			t.Errorf("across %.1f: each train pushes %.3f N, Coulomb's limit is %.3f", across, turn.force, most)
		}
	}
}

// A tyre's force stays within the ellipse; with little slip it is slip/creep of the limit, and with much it opposes the
// slip, for equal limits exactly (Coulomb).
func TestTyreForce(t *testing.T) {
	p, q := tyreForce(0.002, -0.001, 10, 5, 0.02)
	near(t, "creeping along", p, -1, 1e-12)
	near(t, "creeping across", q, 0.25, 1e-12)
	p, q = tyreForce(0.3, 0.4, 10, 10, 0.02)
	near(t, "sliding along", p, -6, 1e-9)
	near(t, "sliding across", q, -8, 1e-9)
	p, q = tyreForce(0.3, -0.4, 10, 2, 0.02)
	near(t, "on the ellipse", math.Hypot(p/10, q/2), 1, 1e-9)
	p, q = tyreForce(1, 1, 0, 5, 0.02)
	near(t, "no load", math.Hypot(p, q), 0, 0)
}

func BenchmarkModel(b *testing.B) {
	for _, name := range Embedded() {
		r, err := OpenEmbedded(name)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				r.Model()
			}
		})
	}
}

// Omni wheels before and behind hold little; two traction wheels hold the turn where they are, wherever that is.
func TestTurnsAboutTheWheelsThatHold(t *testing.T) {
	wheel := func(x, across float64) Wheel { return Wheel{At: geom.Vec{X: x}, Across: across} }
	for name, c := range map[string]struct {
		wheels []Wheel
		want   float64
	}{
		"all alike, four":      {[]Wheel{wheel(-0.1, 0.8), wheel(0.1, 0.8), wheel(-0.1, 0.8), wheel(0.1, 0.8)}, 0},
		"all alike, six":       {[]Wheel{wheel(-0.1, 0.1), wheel(0, 0.1), wheel(0.1, 0.1)}, 0},
		"traction at the rear": {[]Wheel{wheel(0.12, 0.1), wheel(-0.08, 0.9)}, -0.08},
	} {
		r := &Robot{Chassis: Chassis{Mass: 5}, Wheels: c.wheels}
		if got := r.Pivot(); got != c.want {
			t.Errorf("%s: turns about x = %g, want %g", name, got, c.want)
		}
	}
}

// Two wheels abreast of the centre of mass do not scrub: nothing resists a turn, whatever the robot weighs.
func TestNoScrubIsNeverNegative(t *testing.T) {
	for mass := 0.5; mass <= 20; mass += 0.25 {
		r := textbook()
		r.Chassis.Mass = mass
		r.Wheels = r.Wheels[:2]
		for i := range r.Wheels {
			r.Wheels[i].At.X, r.Wheels[i].Across = 0, 0.8
		}
		if kS := r.Model().TurnKS; kS < 0 || kS > 1e-9 {
			t.Errorf("%g kg: a steady turn takes %g V", mass, kS)
		}
	}
}

// A robot tips over the sides that its tyres can tip it over: at g l/h (quasi-static tipping, Meriam & Kraige,
// Dynamics, from memory) where they hold mu g. With its centre 0.4 m up over wheels 0.1 and 0.15 m away that is 2.45
// and 3.68 m/s^2; its tyres give 8.8 along and 0.49 across.
func TestTipsAreTheSidesThatTheTyresCanTipItOver(t *testing.T) {
	r := textbook()
	for i := range r.Wheels {
		r.Wheels[i].At = geom.Vec{X: math.Copysign(0.1, r.Wheels[i].At.X), Y: math.Copysign(0.15, r.Wheels[i].At.Y)}
	}
	for _, row := range []struct {
		height, across float64
		want           map[geom.Vec]float64
	}{
		{0, 0.05, nil}, {0.05, 0.05, nil},
		{0.4, 0.05, map[geom.Vec]float64{{X: 1}: 2.4517, {X: -1}: 2.4517}},
		{0.4, 0.9, map[geom.Vec]float64{{X: 1}: 2.4517, {X: -1}: 2.4517, {Y: 1}: 3.6775, {Y: -1}: 3.6775}},
	} {
		r.Chassis.CentreHeight = row.height
		for i := range r.Wheels {
			r.Wheels[i].Across = row.across
		}
		tips := r.Model().Tips
		if len(tips) != len(row.want) {
			t.Errorf("%.2f m up, %.2f across: %v", row.height, row.across, tips)
		}
		for _, tip := range tips {
			near(t, "tips", tip.Accel, row.want[geom.Vec{X: math.Round(tip.Normal.X), Y: math.Round(tip.Normal.Y)}], 1e-3)
		}
	}
}

// The edges of six wheels in two rows are the four sides, however many wheels stand on each.
func TestEdgesAreToldOnce(t *testing.T) {
	r, err := OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	if got := r.Edges(); len(got) != 4 {
		t.Errorf("%d edges: %v", len(got), got)
	}
}

// A current limit of a quarter of the stall current leaves a quarter of the nominal voltage beyond the back-EMF, and
// viscous drag of 0.02 N m s at 5 N/V and wheels of 40 mm takes 0.02/0.04^2/5 = 2.5 V per m/s.
func TestModelKnowsTheCurrentLimit(t *testing.T) {
	r := textbook()
	r.Motors[0] = Motor{StallTorque: 0.48, FreeSpeed: 600, StallCurrent: 24, Nominal: 12, Limit: 6}
	r.Drive.Gear, r.Drive.Viscous = 5, 0.02
	for i := range r.Wheels {
		r.Wheels[i].Radius = 0.04
	}
	near(t, "limit", r.Model().Limit, 3, 1e-12)
	near(t, "drag", r.Model().Drag, 2.5, 1e-12)
}

// Turning about an axle 120 mm behind, 20 kg swing round: 0.5 + 20 x 0.12^2 = 0.788 kg m^2 (parallel axes).
func TestTurningSwingsTheMassAboutThePivot(t *testing.T) {
	r := textbook()
	r.Chassis.Centre.X = 0.02
	for i := range r.Wheels {
		if r.Wheels[i].At.X > 0 {
			r.Wheels[i].Across = 0
		}
	}
	m := r.Model()
	near(t, "pivot", m.Pivot, -0.1, 1e-12)
	near(t, "inertia", m.Inertia, 0.788, 1e-12)
	near(t, "turning kA", m.TurnKA, 0.788/(r.forcePerVolt()*0.3), 1e-12)
}
