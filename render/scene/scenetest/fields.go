// Package scenetest makes fields and records for the tests and benchmarks of pictures: an everyday run, and the odd
// ones that a picture must survive.
package scenetest

import (
	"math"
	"strconv"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
)

const deg = math.Pi / 180

// Station is a field of everyday size: two camps, a centre line, sleds on runners, mounts on the walls, forty discs.
func Station() *fields.Field {
	f := &fields.Field{
		Name: "station.toml", Title: "Core Haul", Tile: 0.6, Symmetry: fields.HalfTurn,
		Floor: geom.Rect(geom.Vec{}, geom.Vec{X: 4.2, Y: 3}),
		Sides: []fields.Side{{Name: "ochre", Colour: "#d9a13b", Mark: "disc"},
			{Name: "teal", Colour: "#3fb0a3", Mark: "triangle"}},
		Lines: []fields.Line{{Name: "centre line", A: geom.Vec{X: 2.1}, B: geom.Vec{X: 2.1, Y: 3}}},
		Zones: []fields.Zone{
			{Name: "camp", Kind: "camp", Side: 0, Shape: geom.Rect(geom.Vec{}, geom.Vec{X: 0.6, Y: 0.9})},
			{Name: "camp", Kind: "camp", Side: 1, Shape: geom.Rect(geom.Vec{X: 3.6, Y: 2.1}, geom.Vec{X: 4.2, Y: 3})},
		},
		PieceKinds: []fields.PieceKind{{Name: "core", Radius: 0.07, Mass: 0.14, Colour: "#c9dfe8", Mark: fields.Star}},
		GoalKinds: []fields.GoalKind{
			{Name: "sled", Shape: geom.Rect(geom.Vec{X: -0.15, Y: -0.13}, geom.Vec{X: 0.15, Y: 0.13}), Room: 5, Mass: 1.6,
				Colour: "#c8b8a0", Mark: fields.Runners},
			{Name: "rack", Fixed: true, Shape: geom.Rect(geom.Vec{X: -0.15, Y: -0.06}, geom.Vec{X: 0.15, Y: 0.06}), Room: 2,
				Colour: "#d0d4d8"},
		},
	}
	for k := range 40 {
		x, y := 0.35+0.5*float64(k%8), 0.25+0.6*float64(k/8)+0.11*float64(k%2)
		f.Pieces = append(f.Pieces, fields.Piece{Name: "core " + strconv.Itoa(k+1), At: geom.Pose{X: x, Y: y}, Side: -1,
			Goal: -1, Robot: -1})
	}
	for k, at := range []geom.Pose{{X: 1.1, Y: 1.0}, {X: 3.1, Y: 2.0}, {X: 2.1, Y: 1.5, Heading: 30 * deg},
		{X: 1.1, Y: 2.3}, {X: 3.1, Y: 0.7}} {
		f.Goals = append(f.Goals, fields.Goal{Name: "sled " + strconv.Itoa(k+1), At: at, Side: -1})
	}
	for k, at := range []geom.Pose{{X: 1.2, Y: 2.94}, {X: 1.9, Y: 2.94}, {X: 3.0, Y: 0.06}, {X: 2.3, Y: 0.06}} {
		f.Goals = append(f.Goals, fields.Goal{Kind: 1, Name: "rack " + strconv.Itoa(k+1), At: at, Side: k / 2})
	}
	return f
}

// Hook is a small concave field with three sides, cornered pieces and colours as bad as a file can have them.
func Hook() *fields.Field {
	f := &fields.Field{
		Name: "hook.toml", Title: "Hook yard", Tile: 0.25,
		Floor: geom.Polygon{{X: 0, Y: 0}, {X: 2, Y: 0}, {X: 2.4, Y: 0.9}, {X: 1.7, Y: 0.8}, {X: 0.9, Y: 0.7},
			{X: 0.8, Y: 2.6}, {X: 0.2, Y: 3}, {X: -0.3, Y: 1.5}},
		Sides: []fields.Side{{Name: "night", Colour: "#000000", Mark: "square"},
			{Name: "slate", Colour: "#2b343b", Mark: "cross"}, {Name: "none", Colour: "", Mark: "disc"}},
		Zones: []fields.Zone{
			{Name: "bent bay", Kind: "bay", Side: 0, Shape: geom.Polygon{{X: 0, Y: 0}, {X: 0.7, Y: 0}, {X: 0.7, Y: 0.2},
				{X: 0.2, Y: 0.2}, {X: 0.2, Y: 0.7}, {X: 0, Y: 0.7}}},
			{Name: "tip", Kind: "tip", Side: 1, Shape: geom.Polygon{{X: 0.3, Y: 2.2}, {X: 0.7, Y: 2.2}, {X: 0.3, Y: 2.7}}},
			{Name: "common ground", Kind: "common", Side: -1, Shape: geom.Rect(geom.Vec{X: 1.2, Y: 0.1},
				geom.Vec{X: 1.8, Y: 0.5})},
		},
		PieceKinds: []fields.PieceKind{{Name: "brick", Corners: 4, Radius: 0.05, Colour: "#101010", Mark: fields.Ring},
			{Name: "nut", Corners: 6, Radius: 0.03, Colour: "#ff00ff"}},
		GoalKinds: []fields.GoalKind{{Name: "bin", Shape: regular(3, 0.16), Room: 12, Colour: "#222222"}},
		Goals: []fields.Goal{{Name: "bin 1", At: geom.Pose{X: 0.4, Y: 1.5, Heading: 1}, Side: 0},
			{Name: "bin 2", At: geom.Pose{X: 1.4, Y: 0.6}, Side: 2}},
	}
	for k := range 12 {
		f.Pieces = append(f.Pieces, fields.Piece{Kind: k % 2, Name: "bit " + strconv.Itoa(k+1),
			At: geom.Pose{X: 0.1 + 0.16*float64(k), Y: 0.3 + 0.02*float64(k%3), Heading: float64(k)}, Side: k%4 - 1, Goal: -1,
			Robot: -1})
	}
	return f
}

// regular is a polygon with its corners on a circle, counter-clockwise.
func regular(n int, radius float64) geom.Polygon {
	p := make(geom.Polygon, n)
	for i := range p {
		u := geom.Unit(2 * math.Pi * float64(i) / float64(n))
		p[i] = geom.Vec{X: radius * u.X, Y: radius * u.Y}
	}
	return p
}
