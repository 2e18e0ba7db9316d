// Package geom holds the plane geometry that every layer shares: poses, headings and polygons.
//
// Frame: x right, y up, heading counter-clockwise from +x (right-handed, as in ISO 8855); a body's own frame is x
// forward, y left. Lengths in metres, angles in radians.
package geom

import (
	"math"

	"chalkfield/internal/base/portable"

	"gonum.org/v1/gonum/spatial/r2"
)

// Vec is a point or a displacement, in metres.
type Vec = r2.Vec

// Pose is a place and a heading.
type Pose struct {
	X, Y    float64 // m
	Heading float64 // rad, counter-clockwise from +x; not wrapped unless the producer says so
}

// At is the pose's place.
func (p Pose) At() Vec { return Vec{X: p.X, Y: p.Y} }

// Forward is the unit vector along the heading.
func (p Pose) Forward() Vec { return Unit(p.Heading) }

// ToWorld turns a point of the body's own frame into the field's frame.
func (p Pose) ToWorld(v Vec) Vec {
	s, c := portable.Sincos(p.Heading)
	return Vec{X: p.X + float64(c*v.X) - float64(s*v.Y), Y: p.Y + float64(s*v.X) + float64(c*v.Y)}
}

// ToLocal turns a point of the field's frame into the body's own frame: the inverse of Out.
func (p Pose) ToLocal(v Vec) Vec {
	s, c := portable.Sincos(p.Heading)
	dx, dy := v.X-p.X, v.Y-p.Y
	return Vec{X: float64(c*dx) + float64(s*dy), Y: float64(-s*dx) + float64(c*dy)}
}

// Compose is the pose of a body that stands at q in p's own frame.
func (p Pose) Compose(q Pose) Pose {
	at := p.ToWorld(q.At())
	return Pose{at.X, at.Y, p.Heading + q.Heading}
}

// Relative is the pose q as seen from p: the inverse of Compose.
func (p Pose) Relative(q Pose) Pose {
	at := p.ToLocal(q.At())
	return Pose{at.X, at.Y, WrapAngle(q.Heading - p.Heading)}
}

// Unit is the unit vector at an angle.
func Unit(angle float64) Vec {
	s, c := portable.Sincos(angle)
	return Vec{X: c, Y: s}
}

// Rotate turns a displacement by an angle.
func Rotate(v Vec, angle float64) Vec {
	s, c := portable.Sincos(angle)
	return Vec{X: float64(c*v.X) - float64(s*v.Y), Y: float64(s*v.X) + float64(c*v.Y)}
}

// WrapAngle brings an angle into (-pi, pi]. NaN and infinities give NaN.
func WrapAngle(a float64) float64 {
	if !(math.Abs(a) < 2*math.Pi) { // else Mod, which is slow, changes nothing
		a = math.Mod(a, 2*math.Pi)
	}
	switch {
	case a > math.Pi:
		a -= 2 * math.Pi
	case a <= -math.Pi:
		a += 2 * math.Pi
	}
	return a
}

// Degrees are those of an angle in rad.
func Degrees(rad float64) float64 { return rad * 180 / math.Pi }

// Nearest is the value nearest to x, or x where none is nearer than within.
func Nearest(values []float64, x, within float64) float64 {
	best := x
	for _, value := range values {
		if far := math.Abs(value - x); far < within {
			best, within = value, far
		}
	}
	return best
}

// Clamp brings x into [low, high].
func Clamp(x, low, high float64) float64 {
	if x > high {
		x = high
	}
	if x <= low { // -0 is not kept above 0
		return low
	}
	return x
}
