package sim

import (
	"math"

	cp "chalkfield/internal/base/chipmunk"
	"chalkfield/internal/base/geom"

	"gonum.org/v1/gonum/spatial/r2"
)

// overlapping is how deep a piece may overlap another body where it is put down, m: contacts push it out gently.
const overlapping = 0.005

// clear tells whether a piece of a radius can be put down at a place: on the floor, away from walls and bodies.
func (w *World) clear(at geom.Vec, radius float64) bool {
	if !w.field.Floor.Contains(at) {
		return false
	}
	nearest := w.space.PointQueryNearest(vector(at), radius, cp.SHAPE_FILTER_ALL)
	return nearest.Shape == nil || nearest.Distance >= radius-overlapping
}

// shove gives the piece that lies nearest to a place, within a radius, at least a velocity (m/s) along its direction.
func (w *World) shove(at geom.Vec, radius float64, v geom.Vec) {
	nearest := w.space.PointQueryNearest(vector(at), radius, cp.SHAPE_FILTER_ALL)
	if nearest.Shape == nil {
		return
	}
	b, ok := nearest.Shape.Body().UserData.(*Body)
	if size := geom.Norm(v); ok && !b.Goal && size > 0 {
		now := vec(b.body.Velocity())
		along := geom.Scale(1/size, v)
		if lack := size - geom.Dot(now, along); lack > 0 {
			b.body.SetVelocityVector(vector(r2.Add(now, geom.Scale(lack, along))))
		}
	}
}

// spot looks for a place near at where a piece can lie: rings of growing distance, each walked in the same order from
// the direction out (rad). It gives up beyond half a metre.
func (w *World) spot(at geom.Vec, out, radius float64) (geom.Vec, bool) {
	const ring, spokes = 0.04, 12
	for d := 0.0; d < 0.5; d += ring {
		for k := range spokes {
			side := float64(float64((k+1)/2) * float64(1-2*(k%2))) // 0, -1, 1, -2, 2 ...
			v := r2.Add(at, geom.Scale(d, geom.Unit(out+float64(side*2*math.Pi/spokes))))
			if w.clear(v, radius) {
				return v, true
			}
			if d == 0 {
				break
			}
		}
	}
	return geom.Vec{}, false
}
