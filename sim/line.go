package sim

import (
	"math"

	"chalkfield/internal/base/geom"
)

// stripe is a convex part of the floor that lines cover; stripes do not overlap.
type stripe struct {
	shape     geom.Polygon
	low, high geom.Vec // bounds
}

// lay finds what the field's lines cover: of each what those before it do not.
func (w *World) lay() {
	if w.stripes != nil {
		return
	}
	w.stripes = []stripe{}
	for i, l := range w.field.Lines {
		parts := []geom.Polygon{l.Outline()}
		for _, before := range w.field.Lines[:i] {
			parts = without(parts, before.Outline())
		}
		for _, p := range parts {
			low, high := p.Bounds()
			w.stripes = append(w.stripes, stripe{p, low, high})
		}
	}
}

// without is what is left of convex polygons without another one.
func without(parts []geom.Polygon, q geom.Polygon) (left []geom.Polygon) {
	for _, p := range parts {
		if geom.Depth(p, q) <= 0 {
			left = append(left, p)
		} else {
			left = append(left, p.Minus(q)...)
		}
	}
	return left
}

// lined is the share of a round spot of the floor that lines cover.
func (w *World) lined(at geom.Vec, radius float64) (share float64) {
	for i := range w.stripes {
		s := &w.stripes[i]
		if at.X+radius < s.low.X || at.X-radius > s.high.X || at.Y+radius < s.low.Y || at.Y-radius > s.high.Y {
			continue
		}
		share += s.shape.InDisc(at, radius) / (math.Pi * radius * radius)
	}
	return geom.Clamp(share, 0, 1)
}

// lineTruth is what covers the spot under a line sensor.
func (r *Robot) lineTruth(s *sensor) float64 {
	if !s.channel.Due() {
		return 0
	}
	return r.world.lined(r.Pose().ToWorld(s.spec.Line.At), s.spec.Line.Spot/2)
}
