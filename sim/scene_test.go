package sim

import (
	"fmt"
	"gonum.org/v1/gonum/spatial/r2"
	"math"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// Scenes for the tests of this package: fields and robots made in Go, so that no test hangs on a file.

// yard is an empty rectangular floor of w x h metres, every surface value 1.
func yard(w, h float64) *fields.Field {
	return &fields.Field{
		Title: "yard", Floor: geom.Rect(geom.Vec{}, geom.Vec{X: w, Y: h}),
		Surface: fields.Surface{Grip: 1, WallFriction: 1, WallRestitution: 1},
		Sides:   []fields.Side{{Name: "ochre"}, {Name: "teal"}},
	}
}

// withPiece adds a kind with one piece of it.
func withPiece(f *fields.Field, k fields.PieceKind, at geom.Pose) *fields.Field {
	f.PieceKinds = append(f.PieceKinds, k)
	kind := len(f.PieceKinds) - 1
	f.Pieces = append(f.Pieces, fields.Piece{Kind: kind, Name: fmt.Sprintf("piece %d", len(f.Pieces)+1), At: at,
		Side: -1, Goal: -1, Robot: -1})
	return f
}

// withGoal adds a kind with one goal of it.
func withGoal(f *fields.Field, k fields.GoalKind, at geom.Pose) *fields.Field {
	f.GoalKinds = append(f.GoalKinds, k)
	f.Goals = append(f.Goals, fields.Goal{Kind: len(f.GoalKinds) - 1, Name: fmt.Sprintf("goal %d", len(f.Goals)+1),
		At: at, Side: -1})
	return f
}

// core and sled are of the size and weight of an ordinary game's.
func core() fields.PieceKind {
	return fields.PieceKind{Name: "core", Radius: 0.07, Mass: 0.14, FloorFriction: 0.4, Friction: 0.6, Restitution: 0.5}
}

func sled() fields.GoalKind {
	return fields.GoalKind{
		Name: "sled", Shape: geom.Rect(geom.Vec{X: -0.15, Y: -0.13}, geom.Vec{X: 0.15, Y: 0.13}),
		Mass: 1.6, FloorFriction: 0.35, Friction: 0.6, Restitution: 0.4, Room: 5,
	}
}

// busyField has forty cores and five sleds on 4.2 m x 3.0 m; with one robot, 46 bodies.
func busyField() *fields.Field {
	f := yard(4.2, 3.0)
	f.Surface.WallFriction, f.Surface.WallRestitution = 0.5, 0.4
	f.PieceKinds, f.GoalKinds = []fields.PieceKind{core()}, []fields.GoalKind{sled()}
	for i := range 40 {
		at := geom.Pose{X: 0.3 + 0.4*float64(i%10), Y: 0.35 + 0.75*float64(i/10)}
		f.Pieces = append(f.Pieces, fields.Piece{Name: fmt.Sprintf("core %d", i+1), At: at, Side: -1, Goal: -1, Robot: -1})
	}
	for i := range 5 {
		at := geom.Pose{X: 0.9 + 0.6*float64(i), Y: 1.47 - 0.74*float64(i%2), Heading: 0.1 * float64(i)}
		f.Goals = append(f.Goals, fields.Goal{Name: fmt.Sprintf("sled %d", i+1), At: at, Side: -1})
	}
	return f
}

// cart is a robot of six wheels; tune changes it.
func cart(tune ...func(*robot.Robot)) *robot.Robot {
	r := &robot.Robot{
		Title:   "cart",
		Chassis: robot.Chassis{Length: 0.40, Width: 0.38, Mass: 6.5, CentreHeight: 0.09, Friction: 0.6, Restitution: 0.3},
		Motors: []robot.Motor{{
			Name: "motor", StallTorque: 0.35, FreeSpeed: 62.8, StallCurrent: 2.5, FreeCurrent: 0.15, Nominal: 12, Limit: 2.5,
			Inertia: 4e-6,
		}},
		Drive:   robot.Drive{PerSide: 3, Gear: 1.5, Efficiency: 0.9, Creep: 0.03},
		Battery: robot.Battery{Open: 12.6, Resistance: 0.1},
	}
	for _, x := range []float64{-0.14, 0, 0.14} {
		for train, y := range []float64{0.16, -0.16} {
			w := robot.Wheel{At: geom.Vec{X: x, Y: y}, Radius: 0.041, Train: robot.Train(train), Along: 0.9, Across: 0.9,
				Inertia: 5e-5}
			if x != 0 { // omni wheels at the ends
				w.Across = 0.08
			}
			r.Wheels = append(r.Wheels, w)
		}
	}
	for _, t := range tune {
		t(r)
	}
	return r
}

// ideal makes a cart whose drive is the textbook's: two wheels on the axle under the centre of mass, no creep, no loss,
// an ideal battery and wheels as good as weightless.
func ideal(r *robot.Robot) {
	r.Chassis.CentreHeight = 0
	r.Drive.Creep, r.Drive.Efficiency, r.Drive.PerSide = 0, 1, 1
	r.Motors[0].Inertia, r.Motors[0].FreeCurrent, r.Motors[0].Limit = 0, 0, 0
	r.Battery.Open, r.Battery.Resistance = 12, 0
	r.Wheels = []robot.Wheel{
		{At: geom.Vec{Y: 0.16}, Radius: 0.04, Train: robot.Left, Along: 0.8, Across: 0.8},
		{At: geom.Vec{Y: -0.16}, Radius: 0.04, Train: robot.Right, Along: 0.8, Across: 0.8},
	}
}

// build makes a nominal world, or fails the test.
func build(t testing.TB, f *fields.Field, robots ...Entry) *World {
	t.Helper()
	return buildAt(t, stepLength, f, robots...)
}

// buildAt does so with another step.
func buildAt(t testing.TB, step float64, f *fields.Field, robots ...Entry) *World {
	t.Helper()
	w, err := New(Config{Field: f, Robots: robots, Nominal: true, Step: step})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// run steps a world for some seconds.
func (w *World) run(seconds float64) {
	for end := w.Time() + seconds - w.dt/2; w.Time() < end; {
		w.Step()
	}
}

// launch gives a body of the engine a velocity, for tests that start in motion.
func (b *Body) launch(vx, vy, omega float64) {
	b.body.SetVelocity(vx, vy)
	b.body.SetAngularVelocity(omega)
}

func (r *Robot) launch(vx, vy, omega float64) {
	r.body.SetVelocity(vx, vy)
	r.body.SetAngularVelocity(omega)
}

// energy is all kinetic energy, of bodies, trains and free wheels, J.
func (w *World) energy() float64 {
	var sum float64
	for _, b := range w.bodies {
		if b.body != nil {
			sum += b.body.KineticEnergy() / 2
		}
	}
	for _, r := range w.robots {
		sum += r.body.KineticEnergy() / 2
		sum += r.drive.spin()
	}
	return sum
}

// regular is the polygon with n corners on a circle, the first at angle 0.
func regular(n int, radius float64) geom.Polygon {
	p := make(geom.Polygon, n)
	for i := range p {
		p[i] = r2.Scale(radius, geom.Unit(2*math.Pi*float64(i)/float64(n)))
	}
	return p
}
