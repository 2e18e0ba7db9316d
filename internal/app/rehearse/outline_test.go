package rehearse

import (
	"strings"
	"testing"

	"chalkfield/sim/robot"
)

// cornered is the hauler with its rectangle given as corners; the file's inertia is kept or left out.
func cornered(t *testing.T, corners, inertia bool) *robot.Robot {
	t.Helper()
	source, err := robot.EmbeddedSource("hauler")
	if err != nil {
		t.Fatal(err)
	}
	text := string(source)
	replace := func(old, now string) {
		if !strings.Contains(text, old) {
			t.Fatalf("no %q in the hauler", old)
		}
		text = strings.Replace(text, old, now, 1)
	}
	if corners {
		replace("length = \"420 mm\"\nwidth = \"400 mm\"\n", `outline = [["210 mm", "-200 mm"], ["210 mm", "200 mm"], `+
			`["-210 mm", "200 mm"], ["-210 mm", "-200 mm"]]`+"\n")
	}
	if !inertia {
		replace("inertia = \"0.19 kg m^2\"\n", "")
	}
	r, err := robot.Parse("hauler.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A rectangle given as corners does what the rectangle does, whether the file gives the inertia or it is computed: the
// formula for a polygon differs from that for a rectangle in the last bit at most, which here reaches no sample.
func TestARectangleAsCornersDoesTheSame(t *testing.T) {
	for _, inertia := range []bool{true, false} {
		plain, corners := demo(t), demo(t)
		plain.Entrants[0].Robot, corners.Entrants[0].Robot = cornered(t, false, inertia), cornered(t, true, inertia)
		if happened(rehearsed(t, plain)) != happened(rehearsed(t, corners)) {
			t.Errorf("something else happened; inertia given: %v", inertia)
		}
	}
}
