package sim

import (
	"math"
	"testing"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// reflecting gives the hauler a line sensor over a spot of 20 mm, 150 mm ahead and 20 mm to the left.
func reflecting(tune ...func(*robot.LineSensor)) func(*robot.Robot) {
	return func(r *robot.Robot) {
		s := &robot.LineSensor{At: geom.Vec{X: 0.15, Y: 0.02}, Spot: 0.02}
		for _, f := range tune {
			f(s)
		}
		r.Sensors = append(r.Sensors, robot.Sensor{Name: "tape", Kind: robot.Line, Line: s})
	}
}

// taped is a yard with lines.
func taped(lines ...fields.Line) *fields.Field {
	f := yard(4, 3)
	f.Lines = lines
	return f
}

// over puts the spot of the sensor at a place, the robot turned by an angle.
func over(t *testing.T, f *fields.Field, spot geom.Vec, turn float64, tune ...func(*robot.LineSensor)) *crew {
	t.Helper()
	offset := geom.Rotate(geom.Vec{X: 0.15, Y: 0.02}, turn)
	c := with(t, f, hauler(t, reflecting(tune...)), geom.Pose{X: spot.X - offset.X, Y: spot.Y - offset.Y, Heading: turn})
	c.w.Sense()
	return c
}

// A disc that a straight edge cuts at a distance d from its middle has r^2 acos(d/r) - d sqrt(r^2 - d^2) beyond it
// (circular segment; Bronstein, Taschenbuch der Mathematik, from memory).
func TestALineSensorReadsTheShareOfItsSpot(t *testing.T) {
	const r, edge = 0.01, 0.02 // of a line of 40 mm
	f := taped(fields.Line{A: geom.Vec{X: 1, Y: 1.5}, B: geom.Vec{X: 3, Y: 1.5}, Width: 2 * edge})
	for _, turn := range []float64{0, 0.7, -2} {
		for y := -0.035; y < 0.036; y += 0.0025 {
			d := math.Abs(y) - edge
			want := 0.0
			switch {
			case d <= -r:
				want = 1
			case d < r:
				want = (r*r*math.Acos(d/r) - d*math.Sqrt(r*r-d*d)) / (math.Pi * r * r)
			}
			if got := reading(over(t, f, geom.Vec{X: 2, Y: 1.5 + y}, turn), "tape"); math.Abs(got-want) > 1e-9 {
				t.Errorf("%.1f mm beside the line, turned by %.1f: %.9f, want %.9f", 1000*y, turn, got, want)
			}
		}
	}
}

// By hand: lines that cross or lie on each other cover their common part once, and ends are cut square.
func TestLinesCoverAPlaceOnce(t *testing.T) {
	along := fields.Line{A: geom.Vec{X: 1, Y: 1.5}, B: geom.Vec{X: 3, Y: 1.5}, Width: 0.04}
	across := fields.Line{A: geom.Vec{X: 2, Y: 1}, B: geom.Vec{X: 2, Y: 2}, Width: 0.04}
	f := taped(along, across, along)
	for _, c := range []struct {
		name string
		at   geom.Vec
		want float64
	}{
		{"where they cross", geom.Vec{X: 2, Y: 1.5}, 1},
		{"in the corner between them: three quarters are covered", geom.Vec{X: 2.02, Y: 1.52}, 0.75},
		{"at the end", geom.Vec{X: 3, Y: 1.5}, 0.5},
		{"at a corner of the end", geom.Vec{X: 3, Y: 1.52}, 0.25},
		{"beyond the end", geom.Vec{X: 3.011, Y: 1.5}, 0},
	} {
		if got := reading(over(t, f, c.at, 0.3), "tape"); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %.9f, want %.9f", c.name, got, c.want)
		}
	}
}

// A reading is a share whatever its noise, and it is read at the sensor's own rate.
func TestALineSensorsFaults(t *testing.T) {
	f := taped(fields.Line{A: geom.Vec{X: 1, Y: 1.5}, B: geom.Vec{X: 3, Y: 1.5}, Width: 0.04})
	noisy := reflecting(func(s *robot.LineSensor) { s.Noise, s.Rate = 0.3, 50 })
	w, err := New(Config{Field: f, Seed: 3, Robots: []Entry{{Spec: hauler(t, noisy), Start: geom.Pose{X: 1.85, Y: 1.48}}}})
	if err != nil {
		t.Fatal(err)
	}
	c := crewOf(t, w)
	full, changes, last := 0, 0, -1.0
	for range 1000 {
		w.Sense()
		x := reading(c, "tape")
		if x < 0 || x > 1 {
			t.Fatalf("it reads %g", x)
		}
		if x == 1 {
			full++
		}
		if x != last {
			changes, last = changes+1, x
		}
	}
	// half of the normal noise about 1 is above it; of 500 looks a change between two that are 1 shows not
	if full < 400 || full > 600 || changes > 500 || changes < 300 {
		t.Errorf("of 1000 ticks %d read 1, and it changed %d times", full, changes)
	}
	if got := reading(over(t, yard(4, 3), geom.Vec{X: 2, Y: 1.5}, 0), "tape"); got != 0 {
		t.Errorf("without lines it reads %g", got)
	}
}
