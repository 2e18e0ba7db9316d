package fit

import (
	"context"
	"fmt"
	"math"
	"testing"

	"chalkfield/internal/app/logfile"
	"chalkfield/internal/base/property"
	"chalkfield/sim/robot"
)

// square is a routine of four legs and four quarter turns, to the left (+1) or to the right.
func square(way int) string {
	return fmt.Sprintf(`return routine { start = {x = 700, y = 1200, heading = 0}, auto = function(bot)
  local function give(left, right, seconds)
    bot.drive:volts(left, right); wait(seconds); bot.drive:volts(0, 0); wait(0.7)
  end
  wait(1.2)
  for i = 1, 4 do
    give(6, 6, 1.2)
    give(%[1]d * -5, %[1]d * 5, 0.54)
  end
end }`, way)
}

// benchmark is what a square's log and the tape at its end say: how far the robot ended up beside where its encoders
// alone take it to be, along the first leg, m; and the length of its legs.
func benchmark(t *testing.T, in Input, track float64) (off, leg float64) {
	l := in.Log
	end := len(l.Time) - 1
	left, right := l.Column(logfile.Travel[0]).Values, l.Column(logfile.Travel[1]).Values
	x, y, heading, way := 0.0, 0.0, 0.0, 0.0
	for i := 1; i <= end; i++ {
		a, b := left[i]-left[i-1], right[i]-right[i-1]
		turn, ahead := (b-a)/track, (a+b)/2
		x += ahead * math.Cos(heading+turn/2)
		y += ahead * math.Sin(heading+turn/2)
		heading += turn
		way += math.Abs(ahead)
	}
	if corner := math.Abs(heading) / 4 * 180 / math.Pi; math.Abs(corner-90) > 4 {
		t.Fatalf("the corners are of %.1f deg: no square", corner)
	}
	tape := 0.0
	for _, v := range l.Column(logfile.Place[0]).Values[end-19:] {
		tape += v / 20
	}
	return tape - x, way / 4
}

// A robot's wheels and track from a square both ways round, by Borenstein and Feng's formulas (Measurement and
// correction of systematic odometry errors in mobile robots, IEEE Transactions on Robotics and Automation 12(6), 1996;
// from memory, the signs for a square whose first leg goes along x):
//
//	alpha = (x_cw + x_ccw)/(4 L),  beta = (x_ccw - x_cw)/(4 L),  R = (L/2)/sin(beta/2)
//	right over left wheel = (R + b/2)/(R - b/2),  track over the assumed one = 90/(90 + alpha)
//
// agree with the fit to the same two logs: the ratio within 0.05 %, the track within 0.5 %. Theirs are exact for a
// square of small errors, and measure the place to some 2 mm of 0.7 m.
func TestTheSquareAgreesWithBorensteinAndFeng(t *testing.T) {
	file, err := robot.OpenEmbedded("hauler")
	if err != nil {
		t.Fatal(err)
	}
	real := clone(file)
	real.Spread = robot.Spread{}
	for i := range real.Wheels {
		w := &real.Wheels[i]
		w.Radius *= 1 + 0.005*(float64(w.Train)-0.5)
		w.At.Y *= 1.01
	}
	k := truth{real: real, file: file}
	ccw, cw := k.played(t, square(1), 15, "left", 1), k.played(t, square(-1), 15, "right", 2)
	b := file.EffectiveTrack()
	offLeft, leg := benchmark(t, ccw, b)
	offRight, _ := benchmark(t, cw, b)
	alpha, beta := (offRight+offLeft)/(4*leg), (offLeft-offRight)/(4*leg)
	radius := leg / 2 / math.Sin(beta/2)
	ratio, track := (radius+b/2)/(radius-b/2), math.Pi/2/(math.Pi/2+alpha)

	hold := []string{"chassis.mass", "chassis.inertia", "motors[0].free_current", "drive.drag", "drive.viscous",
		"drive.creep", "battery.resistance", "battery.open"}[:property.Cases(8, 1)] // all that is held is as the file says
	got, err := Fit(context.Background(), file, []Input{ccw, cw}, Options{Hold: hold})
	if err != nil {
		t.Fatal(err)
	}
	left, right := value(t, got, "wheels.radius left"), value(t, got, "wheels.radius right")
	fitted := clone(file)
	for i := range fitted.Wheels {
		w := &fitted.Wheels[i]
		w.Radius = []float64{left.After, right.After}[w.Train]
		w.At.Y *= value(t, got, "track").After / file.PlainTrack()
		w.Across = value(t, got, "wheels.across").After
	}
	t.Logf("ratio %.5f by the square, %.5f by the fit; track %.4f, %.4f", ratio, right.After/left.After, track,
		fitted.EffectiveTrack()/b)
	if math.Abs(right.After/left.After-ratio) > 0.0005 {
		t.Errorf("right over left wheel: %.5f by the square, %.5f by the fit", ratio, right.After/left.After)
	}
	if wide := fitted.EffectiveTrack() / b; math.Abs(wide-track) > 0.005 {
		t.Errorf("track over the file's: %.4f by the square, %.4f by the fit", track, wide)
	}
}
