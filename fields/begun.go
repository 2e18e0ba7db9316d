package fields

import (
	"bytes"
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// BegunText is the file of a field that is only begun: a floor, m, two sides with a start each, phases, and a kind of
// piece and of goal to put there. picture is the name of one, "" for none, as wide as the floor and high times as high
// as wide.
func BegunText(title string, size geom.Vec, picture string, high float64) string {
	var out bytes.Buffer
	wide := sizeText(size.X)
	fmt.Fprintf(&out, `# Make it in the window: chalkfield open --build field.toml. Every key: chalkfield guide field.

title = %q
tile = "600 mm"
size = [%q, %q]
symmetry = "half turn" # or "left-right", "up-down", "none": what copy = true goes by
`, title, wide, sizeText(size.Y))
	if picture != "" {
		fmt.Fprintf(&out, `
[picture] # to trace; M in the window scales it
file = %q
box = [["0 m", "0 m"], [%q, %q]]
`, picture, wide, sizeText(high*size.X))
	}
	out.WriteString(`
[[sides]]
name = "red"
colour = "#d0605e"

[[sides]]
name = "blue"
colour = "#5b9bd5"
`)
	fmt.Fprintf(&out, `
[[starts]]
side = "red"
at = [%q, %q]
copy = true
`, sizeText(math.Round(size.X/6*100)/100), sizeText(math.Round(size.Y/4*100)/100))
	out.WriteString(`
[[piece_kinds]]
name = "ball"
across = "120 mm"
mass = "100 g"

[[goal_kinds]]
name = "bin"
size = ["300 mm", "300 mm"]
mass = "1.5 kg"
room = 5
takes = ["ball"]

[[phases]]
name = "autonomous"
length = "15 s"
control = "autonomous"

[[phases]]
name = "driver"
length = "90 s"
control = "driver"

[[sessions]]
name = "autonomous"
phases = ["autonomous"]

[[sessions]]
name = "match"
phases = ["autonomous", "driver"]
`)
	return out.String()
}

// sizeText writes a length that is larger than a piece.
func sizeText(m float64) string { return units.Like("1 m", math.Round(m*1e4)/1e4, 0, "m") }

// WithStart is a field's text with a place for robots to begin, where it names none: one with room about it, nearest to
// the first side's first zone, else to the floor's lower left.
func (f *Field) WithStart() (string, bool) {
	if len(f.Starts) > 0 {
		return f.Text, true
	}
	var home geom.Vec
	for _, z := range f.Zones {
		if z.Side == 0 {
			low, high := z.Shape.Bounds()
			home = geom.Vec{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2}
			break
		}
	}
	best, least := geom.Vec{}, math.Inf(1)
	low, high := f.Floor.Bounds()
	for x := low.X; x <= high.X; x += 0.05 {
		for y := low.Y; y <= high.Y; y += 0.05 {
			at := geom.Vec{X: math.Round(x*100) / 100, Y: math.Round(y*100) / 100}
			if far := math.Hypot(at.X-home.X, at.Y-home.Y); far < least && f.roomAt(at) {
				best, least = at, far
			}
		}
	}
	if math.IsInf(least, 1) {
		return f.Text, false
	}
	text := f.Text + fmt.Sprintf("\n[[starts]] # where robots may begin\nside = %q\nat = [%q, %q]\n", f.Sides[0].Name,
		sizeText(best.X), sizeText(best.Y))
	if f.Symmetry != NoSymmetry && len(f.Sides) == 2 {
		text += "copy = true\n"
	}
	return text, true
}

// startRoom is how far from a robot's middle nothing stands, m: half the diagonal of one of 460 mm, and a hand.
const startRoom = 0.36

func (f *Field) roomAt(at geom.Vec) bool {
	if !f.Floor.Contains(at) || f.Floor.Distance(at) < startRoom {
		return false
	}
	robot := solid{centre: at, radius: startRoom}
	for _, s := range f.solids() {
		if overlap(robot, s) > 0 {
			return false
		}
	}
	return true
}
