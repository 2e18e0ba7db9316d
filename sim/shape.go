package sim

import (
	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"

	"gonum.org/v1/gonum/spatial/r2"
)

// hull is the convex hull, counter-clockwise (monotone chain would sort; the engine has one).
func hull(p geom.Polygon) geom.Polygon {
	corners := make([]cp.Vector, len(p))
	for i, v := range p {
		corners[i] = vector(v)
	}
	n := cp.ConvexHull(len(corners), corners, nil, 0)
	out := make(geom.Polygon, n)
	for i := range out {
		out[i] = vec(corners[i])
	}
	if out.Area() < 0 {
		for i, j := 0, n-1; i < j; i, j = i+1, j-1 {
			out[i], out[j] = out[j], out[i]
		}
	}
	return out
}

func shifted(p geom.Polygon, by geom.Vec) geom.Polygon {
	out := make(geom.Polygon, len(p))
	for i, v := range p {
		out[i] = r2.Add(v, by)
	}
	return out
}

// The engine's bodies stand at their centre of mass; poses speak of a thing's own origin. centre is the centre of mass
// in the thing's own frame.

func originOf(b *cp.Body, centre geom.Vec) geom.Pose {
	p := b.LocalToWorld(cp.Vector{X: -centre.X, Y: -centre.Y})
	return geom.Pose{X: p.X, Y: p.Y, Heading: b.Angle()}
}

func setOrigin(b *cp.Body, centre geom.Vec, at geom.Pose) {
	b.SetAngle(at.Heading)
	b.SetPosition(vector(at.ToWorld(centre)))
}

func originVelocity(b *cp.Body, centre geom.Vec) (vx, vy, omega float64) {
	v := b.VelocityAtLocalPoint(cp.Vector{X: -centre.X, Y: -centre.Y})
	return v.X, v.Y, b.AngularVelocity()
}

func vector(v geom.Vec) cp.Vector { return cp.Vector{X: v.X, Y: v.Y} }
func vec(v cp.Vector) geom.Vec    { return geom.Vec{X: v.X, Y: v.Y} }

// inset moves each edge of a convex counter-clockwise polygon inwards by d.
func inset(p geom.Polygon, d float64) geom.Polygon {
	out := make(geom.Polygon, len(p))
	for i, v := range p {
		before := geom.Direction(r2.Sub(v, p[(i+len(p)-1)%len(p)]))
		after := geom.Direction(r2.Sub(p[(i+1)%len(p)], v))
		// The corner moves along the bisector, by d over the sine of half the corner's angle.
		in := r2.Add(geom.Vec{X: -before.Y, Y: before.X}, geom.Vec{X: -after.Y, Y: after.X})
		out[i] = r2.Add(v, geom.Scale(2*d/geom.Norm2(in), in))
	}
	return out
}

// polygonShape is a convex counter-clockwise polygon with rounded corners, of the outline's size.
func polygonShape(body *cp.Body, p geom.Polygon) *cp.Shape {
	in := inset(p, rounding)
	corners := make([]cp.Vector, len(in))
	for i, v := range in {
		corners[i] = vector(v)
	}
	return cp.NewPolyShape(body, len(corners), corners, cp.NewTransformIdentity(), rounding)
}
