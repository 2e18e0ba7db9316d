package sensing

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// The square-path test of Borenstein & Feng (UMBmark, 1994; IEEE Trans. R&A 12(6), 1996). The robot believes in equal
// wheels and in a track width b; the true ones differ by the ratio of wheel diameters E_d = D_right / D_left and by E_b
// = b_true / b. It drives a square of 4 m by its belief; what it then misses the start by gives E_d and E_b back.
type machine struct {
	track  float64 // believed, m
	Ed, Eb float64
}

// square drives the square on its belief, all turns to one side (1 ccw, -1 cw), and returns the true end minus the
// believed one.
func (m machine) square(side, leg float64) (x, y float64) {
	robot := &robot.Robot{
		Sensors:  make([]robot.Sensor, 2),
		Odometry: robot.Odometry{Method: robot.ByEncoders, Along: []int{0, 1}, Across: -1, Inertial: -1, Track: m.track},
	}
	belief, truth := NewTracker(robot, 0.01), geom.Pose{}
	readings := make([]float64, 2)
	// The mean of the two true wheels is the believed one, as in the source (its eq. for the mean diameter).
	left, right := 2/(m.Ed+1), 2*m.Ed/(m.Ed+1)
	drive := func(dl, dr float64, ticks int) {
		for range ticks {
			readings[0] += dl / float64(ticks)
			readings[1] += dr / float64(ticks)
			belief.Update(readings)
			truth = Advance(truth, FromTrains(left*dl/float64(ticks), right*dr/float64(ticks), m.track*m.Eb))
		}
	}
	for range 4 {
		drive(leg, leg, 400)
		quarter := math.Pi / 4 * m.track * side
		drive(-quarter, quarter, 150)
	}
	return truth.X - belief.Belief().X, truth.Y - belief.Belief().Y
}

// Borenstein & Feng, UMBmark (1994), IEEE Trans. R&A 12(6) 1996 (formulas from memory; numbers from forward integration
// of exact arcs): L 4 m, b .34, E_d 1.001, E_b 1.005: cw (-0.151988, -0.163065), ccw (0.031384, -0.030658), E_max,syst
// 0.222913 m; the small-angle formulas give back E_d 1.000975, E_b 1.004822.
func TestSquarePathReproducesUMBmark(t *testing.T) {
	const L, b = 4, 0.34
	m := machine{track: b, Ed: 1.001, Eb: 1.005}
	xcw, ycw := m.square(-1, L)
	xccw, yccw := m.square(1, L)
	near(t, "cw x", xcw, -0.151988, 1e-5)
	near(t, "cw y", ycw, -0.163065, 1e-5)
	near(t, "ccw x", xccw, 0.031384, 1e-5)
	near(t, "ccw y", yccw, -0.030658, 1e-5)
	near(t, "E_max", math.Max(math.Hypot(xcw, ycw), math.Hypot(xccw, yccw)), 0.222913, 1e-5)

	alpha, beta := -(xcw+xccw)/(4*L), -(xcw-xccw)/(4*L)
	Eb := (math.Pi / 2) / (math.Pi/2 - alpha)
	R := (L / 2) / math.Sin(beta/2)
	Ed := (R + b/2) / (R - b/2)
	near(t, "E_d", Ed, 1.000975, 1e-6)
	near(t, "E_b", Eb, 1.004822, 1e-6)
}

// The source's worked magnitudes: alpha 0.5 deg moves the end 2 L alpha = 69.8 mm on each axis, but for
// second-order terms, which sum up headings alpha..4 alpha and so are of the relative size 2 alpha = 1.75 %
// (tolerance); beta 0.4 deg, b 0.34: R 572.96 m, E_d 1.000594.
func TestSingleErrorsOfTheSquarePath(t *testing.T) {
	const L, b = 4, 0.34
	alpha := 0.5 * deg
	track := machine{track: b, Ed: 1, Eb: (math.Pi / 2) / (math.Pi/2 + alpha)} // turns too far by alpha each
	for _, side := range []float64{1, -1} {
		x, y := track.square(side, L)
		near(t, "x", math.Abs(x), 0.0698, 0.0698*2*alpha)
		near(t, "y", math.Abs(y), 0.0698, 0.0698*2*alpha)
	}
	R := (L / 2) / math.Sin(0.4*deg/2)
	near(t, "R", R, 572.96, 0.01)
	Ed := (R + b/2) / (R - b/2)
	near(t, "E_d", Ed, 1.000594, 1e-6)
	// A leg driven with that ratio bends by beta.
	p := Advance(geom.Pose{}, FromTrains(L*2/(Ed+1), L*2*Ed/(Ed+1), b))
	near(t, "bend", p.Heading, 0.4*deg, 0.4*deg*0.001)
}
