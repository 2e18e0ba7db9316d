package fields

import (
	"bytes"
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// BegunText is the file of a field that is only begun: a floor, m, two sides with a start each, phases, and a kind of
// piece and of goal to put there, in a system's units. picture is the name of one, "" for none, as wide as the floor
// and high times as high as wide.
func BegunText(in units.System, title string, size geom.Vec, picture string, high float64) string {
	var out bytes.Buffer
	words := begunWords[in]
	sizeText := func(m float64) string { return units.Like(words.like, math.Round(m*1e4)/1e4, 0, "m") }
	round := func(m float64) float64 { return math.Round(m/words.step) * words.step }
	wide := sizeText(size.X)
	fmt.Fprintf(&out, `# Make it in the window: chalkfield open --build field.toml. Every key: chalkfield guide field.

title = %q
tile = %q
size = [%q, %q]
symmetry = "half turn" # or "left-right", "up-down", "none": what copy = true goes by
`, title, words.tile, wide, sizeText(size.Y))
	if picture != "" {
		fmt.Fprintf(&out, `
[picture] # to trace; M in the window scales it
file = %q
box = [[%q, %q], [%q, %q]]
`, picture, sizeText(0), sizeText(0), wide, sizeText(high*size.X))
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
`, sizeText(round(size.X/6)), sizeText(round(size.Y/4)))
	fmt.Fprintf(&out, `
[[piece_kinds]]
name = "ball"
across = %q
mass = %q

[[goal_kinds]]
name = "bin"
size = [%q, %q]
mass = %q
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
`, words.ball[0], words.ball[1], words.bin[0], words.bin[0], words.bin[1])
	return out.String()
}

// begunWords are what such a field has, in each system.
var begunWords = [...]struct {
	like, tile string
	step       float64   // m: that places are multiples of
	ball, bin  [2]string // across, mass
}{
	units.Metric: {"1 m", "600 mm", 0.01, [2]string{"120 mm", "100 g"}, [2]string{"300 mm", "1.5 kg"}},
	units.Inch:   {"1 in", "24 in", 0.0254, [2]string{"4.75 in", "0.25 lb"}, [2]string{"12 in", "3.5 lb"}},
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
