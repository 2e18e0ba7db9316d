package robot

import (
	"math"
	"slices"
	"strings"
	"testing"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"

	"pgregory.net/rapid"
)

// outlined is the minimal robot with corners of its own instead of length and width.
func outlined(corners string) string {
	return strings.Replace(minimal, "length = \"300 mm\"\nwidth = \"300 mm\"\n", "outline = ["+corners+"]\n", 1)
}

const hexagon = `["200 mm", "0 mm"], ["120 mm", "150 mm"], ["-120 mm", "150 mm"], ["-160 mm", "0 mm"], ` +
	`["-120 mm", "-150 mm"], ["120 mm", "-150 mm"]`

// The area's centre and moment by hand: the hexagon is a rectangle of 240 mm x 300 mm about the origin, and triangles
// before and behind it, 300 mm wide, 80 mm and 40 mm long; a triangle's middle lies at a third of its height h, where
// its moment is m (b^2/24 + h^2/18) of an isosceles one (Meriam & Kraige, Statics, table of plane figures; from
// memory).
func TestAnOutlineMakesLengthWidthCentreAndInertia(t *testing.T) {
	c := parse(t, outlined(hexagon)).Chassis
	near(t, "length", c.Length, 0.36, 1e-12)
	near(t, "width", c.Width, 0.3, 1e-12)
	const box, front, rear = 0.24 * 0.3, 0.3 * 0.08 / 2, 0.3 * 0.04 / 2
	xFront, xRear := 0.12+0.08/3, -(0.12 + 0.04/3)
	x := (front*xFront + rear*xRear) / (box + front + rear)
	near(t, "centre", c.Centre.X, x, 1e-12)
	near(t, "centre across", c.Centre.Y, 0, 1e-12)
	moment := box*((0.24*0.24+0.3*0.3)/12+x*x) +
		front*(0.3*0.3/24+0.08*0.08/18+(xFront-x)*(xFront-x)) + rear*(0.3*0.3/24+0.04*0.04/18+(xRear-x)*(xRear-x))
	near(t, "inertia", c.Inertia, 4*moment/(box+front+rear), 1e-12)
	if own := parse(t, strings.Replace(outlined(hexagon), "mass", "centre = [\"10 mm\", \"0 mm\"]\nmass", 1)); own.Chassis.
		Centre.X != 0.01 {
		t.Errorf("a centre that the file gives became %v", own.Chassis.Centre)
	}
}

func TestCornersMayRunEitherWay(t *testing.T) {
	corners := strings.Split(strings.ReplaceAll(hexagon, "], [", "];["), ";")
	ahead := parse(t, outlined(hexagon)).Chassis
	slices.Reverse(corners)
	back := parse(t, outlined(strings.Join(corners, ", "))).Chassis
	if !slices.Equal(ahead.Outline, back.Outline) || ahead.Outline.Area() <= 0 {
		t.Errorf("%v and %v", ahead.Outline, back.Outline)
	}
}

// A rectangle given as corners is the rectangle of length and width, but for the last bits of the inertia, which
// another formula gives.
func TestARectangleAsCornersIsTheRectangle(t *testing.T) {
	plain := parse(t, minimal).Chassis
	corners := parse(t, outlined(`["150 mm", "-150 mm"], ["150 mm", "150 mm"], ["-150 mm", "150 mm"], `+
		`["-150 mm", "-150 mm"]`)).Chassis
	near(t, "inertia", corners.Inertia, plain.Inertia, 1e-15)
	if corners.Length != plain.Length || corners.Width != plain.Width || corners.Centre != plain.Centre {
		t.Errorf("%+v, want %+v", corners, plain)
	}
	for _, v := range plain.Shape() {
		if !slices.Contains(corners.Shape(), v) {
			t.Errorf("%v, want %v", corners.Shape(), plain.Shape())
		}
	}
}

func TestOutlinesThatNoChassisHas(t *testing.T) {
	for _, test := range []struct{ name, text, want string }{
		{"none of both", strings.Replace(minimal, `length = "300 mm"`, "", 1), `robot.toml:2:2: chassis.length: the key ` +
			`"length" is missing: write, for example, length = "420 mm", or corners of your own: outline = [[`},
		{"both", strings.Replace(minimal, "mass", "outline = ["+hexagon+"]\nmass", 1),
			`robot.toml:3:1: chassis.length: the outline already says how large the chassis is: leave length out`},
		{"inwards", outlined(`["200 mm", "-150 mm"], ["200 mm", "150 mm"], ["0 mm", "100 mm"], ["-200 mm", "150 mm"], ` +
			`["-200 mm", "-150 mm"]`), `robot.toml:3:58: chassis.outline[2]: the outline turns inwards at this corner`},
		{"crossing", outlined(`["200 mm", "-150 mm"], ["-200 mm", "150 mm"], ["200 mm", "150 mm"], ["-200 mm", "-150 mm"]`),
			`chassis.outline: the outline crosses or touches itself: list the corners in order`},
		{"two corners", outlined(`["200 mm", "-150 mm"], ["-200 mm", "150 mm"]`),
			`an outline of 2 corners: write from 3 to 16`},
		{"sharp", outlined(`["400 mm", "0 mm"], ["-200 mm", "150 mm"], ["-200 mm", "-150 mm"]`),
			`chassis.outline[0]: this corner is sharper than 30 degrees`},
		{"slim", outlined(`["150 mm", "-20 mm"], ["150 mm", "20 mm"], ["-150 mm", "20 mm"], ["-150 mm", "-20 mm"]`),
			`the outline is slimmer than 50 mm`},
		{"huge", outlined(`["1.1 m", "-1 m"], ["1.1 m", "1 m"], ["-1.1 m", "1 m"], ["-1.1 m", "-1 m"]`),
			`the outline is larger than 2 m`},
		{"corners at one place", outlined(`["200 mm", "-150 mm"], ["200 mm", "150 mm"], ["199 mm", "154 mm"], ` +
			`["-200 mm", "150 mm"], ["-200 mm", "-150 mm"]`), `nearer than 10 mm`},
		{"beside the origin", outlined(`["400 mm", "-150 mm"], ["400 mm", "150 mm"], ["10 mm", "150 mm"], ` +
			`["10 mm", "-150 mm"]`), `the outline does not hold [0, 0]`},
		{"a wheel outside", outlined(`["200 mm", "0 mm"], ["0 mm", "150 mm"], ["-200 mm", "0 mm"], ["0 mm", "-150 mm"]`),
			`wheels[0].at: this wheel stands outside the chassis: write ["`},
	} {
		_, err := Parse("robot.toml", []byte(test.text))
		if err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s:\n got %v\nwant %s", test.name, err, test.want)
		}
	}
}

// Whatever corners an outline has, it is refused or is as wide as it must be, and what is told to write instead of a
// place outside lies within.
func TestOutlinesAreRefusedOrUsable(t *testing.T) {
	good := 0
	property.Check(t, func(t *rapid.T) {
		number := rapid.Float64Range(-0.5, 0.5)
		p := make(geom.Polygon, rapid.IntRange(3, 8).Draw(t, "corners"))
		round := rapid.Bool().Draw(t, "round")
		for i := range p {
			p[i] = geom.Vec{X: number.Draw(t, "x"), Y: number.Draw(t, "y")}
			if round { // in order, on a circle
				p[i] = geom.Scale(0.4, geom.Unit((float64(i)+p[i].X)*2*math.Pi/float64(len(p))))
			}
		}
		if _, wrong := wrongOutline(p); wrong != "" {
			return
		}
		good++
		if p.Area() < 0 {
			slices.Reverse(p)
		}
		if !p.Convex() || slimness(p) < leastWidth || !p.Contains(geom.Vec{}) {
			t.Fatalf("%v was taken", p)
		}
		out := geom.Vec{X: 4 * number.Draw(t, "far x"), Y: 4 * number.Draw(t, "far y")}
		if at := geom.Scale(0.95, p.Nearest(out)); !p.Contains(at) {
			t.Fatalf("%v is not in %v", at, p)
		}
	})
	if good == 0 {
		t.Error("no outline was good")
	}
}
