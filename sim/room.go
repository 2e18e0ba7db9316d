package sim

import (
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"

	"gonum.org/v1/gonum/spatial/r2"
)

// Room is the place nearest to the floor's middle at which the last of the robots stands clear of everything, with
// heading 0; false without any. Where there is room it stands on no line and in no zone, so that it counts for nothing.
func Room(c Config) (geom.Pose, bool) {
	const step, gap = 0.05, 0.05 // m
	c.Robots = slices.Clone(c.Robots)
	last := &c.Robots[len(c.Robots)-1]
	wide := *last.Spec
	wide.Chassis.Outline = inset(wide.Chassis.Shape(), -gap)
	last.Spec = &wide
	low, high := c.Field.Floor.Bounds()
	middle := geom.Scale(0.5, r2.Add(low, high))
	var best [2]geom.Pose // not on a mark, and on one
	var found [2]bool
	for y := low.Y; y <= high.Y; y += step {
		for x := low.X; x <= high.X; x += step {
			last.Start = geom.Pose{X: x, Y: y}
			if checkStart(c, len(c.Robots)-1) != nil {
				continue
			}
			on := 0
			if last.onMark(c.Field) {
				on = 1
			}
			if !found[on] || away(last.Start, middle) < away(best[on], middle) {
				best[on], found[on] = last.Start, true
			}
		}
	}
	if found[0] {
		return best[0], true
	}
	return best[1], found[1]
}

func away(p geom.Pose, from geom.Vec) float64 { return geom.Norm(r2.Sub(p.At(), from)) }

// onMark reports whether the robot stands on a line or in a zone.
func (e Entry) onMark(f *fields.Field) bool {
	const along = 100 // places of a line that are looked at
	outline := e.outline()
	for _, l := range f.Lines {
		for i := range along + 1 {
			if outline.Contains(r2.Add(l.A, geom.Scale(float64(i)/along, r2.Sub(l.B, l.A)))) {
				return true
			}
		}
	}
	return slices.ContainsFunc(f.Zones, func(z fields.Zone) bool { return geom.Depth(outline, z.Shape) > 0 })
}
