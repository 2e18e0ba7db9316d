package sim

import "chalkfield/internal/base/geom"

// discDepth is how deep a disc reaches into a polygon.
func discDepth(p geom.Polygon, at geom.Vec, radius float64) float64 {
	d := p.Distance(at)
	if p.Contains(at) {
		return radius + d
	}
	return radius - d
}
