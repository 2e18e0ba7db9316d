package fields

import (
	"fmt"
	"strings"

	"chalkfield/internal/base/geom"
)

func (b *builder) zones() {
	listed := b.field.Zones
	b.few("zones", len(listed), maxListed)
	b.field.Zones, b.zoneCopies = nil, map[int]int{}
	for i, z := range listed[:min(len(listed), maxListed)] {
		path := fmt.Sprintf("zones[%d]", i)
		b.name(path+".name", z.Name)
		b.name(path+".kind", z.Kind)
		z.Shape = b.zoneShape(path, z)
		b.zone(path, z)
		if b.copies(path, z.Copy) {
			b.zoneCopies[len(b.field.Zones)-1] = len(b.field.Zones)
			z.Name, z.Side, z.Shape = b.copyName(z.Name), b.field.OtherSide(z.Side), b.copyOutline(z.Shape)
			b.zone(path, z)
		}
	}
	zones := b.field.Zones
	b.unique("zone", len(zones), func(i int) (string, string) { return b.zonePaths[i] + ".name", zones[i].Name })
}

func (b *builder) zone(path string, z Zone) {
	b.field.Zones = append(b.field.Zones, z)
	b.zonePaths = append(b.zonePaths, path)
}

func (b *builder) zoneShape(path string, z Zone) geom.Polygon {
	switch {
	case (z.Box != nil) == (z.Shape != nil):
		b.at.Errorf(path, `a zone has either a box or a shape: write box = [["0 mm", "0 mm"], ["600 mm", "600 mm"]]`)
		return nil
	case z.Shape != nil:
		return b.outline(path+".shape", z.Shape)
	}
	box := geom.Rect(snapped(z.Box[0]), snapped(z.Box[1]))
	if box.Area() < 1e-4 {
		b.at.Errorf(path+".box", "the box is empty: write two opposite corners")
	}
	return box
}

// copies reports whether a thing has a symmetric copy, and notes an error where there can be none.
func (b *builder) copies(path string, wanted bool) bool {
	if wanted && b.field.Symmetry == NoSymmetry {
		b.at.Errorf(path+".copy", `there is no symmetry to copy by: write symmetry = "half turn" (or "left-right", `+
			`"up-down") at the top of the file`)
		return false
	}
	if wanted && len(b.field.Sides) > 2 {
		b.at.Errorf(path+".copy", "copies are for fields of two sides: write each thing on its own")
		return false
	}
	return wanted
}

// copyName names a copy after the other side where the name holds a side's name, else "... copy".
func (b *builder) copyName(name string) string {
	words := strings.Fields(name)
	changed := false
	for i, w := range words {
		for s, side := range b.field.Sides {
			if w == side.Name && len(b.field.Sides) == 2 {
				words[i], changed = b.field.Sides[1-s].Name, true
				break
			}
		}
	}
	if !changed {
		return name + " copy"
	}
	return strings.Join(words, " ")
}

func (b *builder) copyOutline(p geom.Polygon) geom.Polygon {
	out := b.field.mirrorPolygon(p)
	for i, v := range out {
		out[i] = snapped(v)
	}
	return out
}

func (b *builder) copyPose(p geom.Pose) geom.Pose {
	p = b.field.Mirror(p)
	at := snapped(p.At())
	return geom.Pose{X: at.X, Y: at.Y, Heading: p.Heading}
}
