package scene

import (
	"math"

	"chalkfield/internal/base/geom"
)

// Shape is the form of a mark. Shapes differ in outline, so that they are told apart without colour.
type Shape uint8

const (
	NoShape Shape = iota
	RoundShape
	Triangle
	TriangleDown
	Square
	Cross // diagonal, as an x
	Plus
	Diamond
	Star
	Dart      // an arrow head along the heading
	Bar       // a short stroke across the heading
	Hourglass // two tips that meet, open across the heading
	Flag      // a pennant at a pole
	Keycap    // a wide, low plate with cut corners, as of a controller's button
)

// ParseShape reads the mark of a field file's side or of a kind of events.
func ParseShape(name string) Shape {
	if shape, known := shapes[name]; known {
		return shape
	}
	return Diamond
}

var shapes = map[string]Shape{
	"disc": RoundShape, "triangle": Triangle, "triangle down": TriangleDown, "square": Square, "cross": Cross,
	"plus":    Plus,
	"diamond": Diamond, "star": Star, "flag": Flag, "keycap": Keycap,
}

// corners of each shape within the unit circle, counter-clockwise, heading along +x.
var corners = [...][]geom.Vec{
	NoShape:      nil,
	RoundShape:   ring(24, 1, 1, 0),
	Triangle:     ring(3, 1.1, 1.1, math.Pi/2),
	TriangleDown: ring(3, 1.1, 1.1, -math.Pi/2),
	Square:       ring(4, 1.1, 1.1, math.Pi/4),
	Cross:        turned(plus(0.34), math.Pi/4),
	Plus:         plus(0.34),
	Diamond:      ring(4, 1.1, 1.1, 0),
	Star:         ring(10, 1.2, 0.52, math.Pi/2),
	Dart:         {{X: 1, Y: 0}, {X: -0.8, Y: 0.8}, {X: -0.35, Y: 0}, {X: -0.8, Y: -0.8}},
	Bar:          {{X: -0.22, Y: -1}, {X: 0.22, Y: -1}, {X: 0.22, Y: 1}, {X: -0.22, Y: 1}},
	Flag: {{X: -0.7, Y: -1}, {X: -0.35, Y: -1}, {X: -0.35, Y: -0.05}, {X: 1, Y: 0.45}, {X: -0.35, Y: 1},
		{X: -0.7, Y: 1}},
	Keycap: {{X: -0.6, Y: -0.6}, {X: 0.6, Y: -0.6}, {X: 1.1, Y: -0.2}, {X: 1.1, Y: 0.2}, {X: 0.6, Y: 0.6},
		{X: -0.6, Y: 0.6}, {X: -1.1, Y: 0.2}, {X: -1.1, Y: -0.2}},
	Hourglass: {{X: -0.9, Y: 1}, {X: -0.2, Y: 0}, {X: -0.9, Y: -1}, {X: 0.9, Y: -1}, {X: 0.2, Y: 0}, {X: 0.9, Y: 1}},
}

// Corners gives the shape's outline within the unit circle, counter-clockwise, its heading along +x. Not to be changed.
func (s Shape) Corners() []geom.Vec {
	if int(s) >= len(corners) {
		return nil
	}
	return corners[s]
}

// ring is n points about the origin, alternating between two radii, the first at an angle.
func ring(n int, even, odd, from float64) []geom.Vec {
	points := make([]geom.Vec, n)
	for i := range points {
		radius := even
		if i%2 == 1 {
			radius = odd
		}
		u := geom.Unit(from + 2*math.Pi*float64(i)/float64(n))
		points[i] = geom.Vec{X: radius * u.X, Y: radius * u.Y}
	}
	return points
}

// plus is an upright cross of arms from -1 to 1, each 2 w wide.
func plus(w float64) []geom.Vec {
	return []geom.Vec{
		{X: 1, Y: -w}, {X: 1, Y: w}, {X: w, Y: w}, {X: w, Y: 1}, {X: -w, Y: 1}, {X: -w, Y: w},
		{X: -1, Y: w}, {X: -1, Y: -w}, {X: -w, Y: -w}, {X: -w, Y: -1}, {X: w, Y: -1}, {X: w, Y: -w},
	}
}

func turned(points []geom.Vec, angle float64) []geom.Vec {
	for i, p := range points {
		points[i] = geom.Rotate(p, angle)
	}
	return points
}
