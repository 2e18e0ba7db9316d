package fields

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
)

func (b *builder) pieceKinds() {
	kinds := b.field.PieceKinds
	b.few("piece_kinds", len(kinds), maxListed)
	for i := range kinds {
		k, path := &kinds[i], fmt.Sprintf("piece_kinds[%d]", i)
		b.name(path+".name", k.Name)
		b.colour(path+".colour", &k.Colour)
		k.Radius = outerRadius(k.Corners, k.Across/2)
	}
	b.unique("piece kind", len(kinds), func(i int) (string, string) {
		return fmt.Sprintf("piece_kinds[%d].name", i),
			kinds[i].Name
	})
}

// outerRadius is the distance to a corner of a regular polygon whose flats are at a distance inner.
func outerRadius(corners int, inner float64) float64 {
	if corners == 0 {
		return inner
	}
	return inner / portable.Cos(math.Pi/float64(corners))
}

func (b *builder) goalKinds() {
	kinds := b.field.GoalKinds
	b.few("goal_kinds", len(kinds), maxListed)
	for i := range kinds {
		k, path := &kinds[i], fmt.Sprintf("goal_kinds[%d]", i)
		b.name(path+".name", k.Name)
		if len(k.Takes) == 0 && b.at.Length(path+".takes") == 0 {
			b.at.Errorf(path+".takes", "the goal takes nothing: name a kind of piece")
		}
		b.fixedOrLoose(path, k)
		b.colour(path+".colour", &k.Colour)
		k.Shape = b.goalShape(path, k)
	}
	b.unique("goal kind", len(kinds), func(i int) (string, string) {
		return fmt.Sprintf("goal_kinds[%d].name", i),
			kinds[i].Name
	})
}

// fixedOrLoose checks what only fixed or only pushable goals have.
func (b *builder) fixedOrLoose(path string, k *GoalKind) {
	if k.Fixed {
		if b.at.Has(path + ".mass") {
			b.at.KeyErrorf(path+".mass", "a fixed goal does not move: leave its mass out")
		}
		if b.at.Has(path + ".spills_at") {
			b.at.KeyErrorf(path+".spills_at", "nothing runs into a fixed goal, so it never tips: leave spills_at out")
		}
		return
	}
	if k.Mass == 0 {
		b.at.Errorf(path+".mass", `the key "mass" is missing: write, for example, mass = "1.6 kg", or fixed = true`)
	}
	if k.Around {
		b.at.KeyErrorf(path+".around", "a pushable goal is filled where it is held: leave it out, or write fixed = true")
	}
	if b.at.Has(path + ".reach") {
		b.at.KeyErrorf(path+".reach", "only a fixed goal has a reach: leave it out, or write fixed = true")
	}
	k.Reach = 0
}

// goalShape is the outline in the goal's own frame, from the one of three ways that the file uses.
func (b *builder) goalShape(path string, k *GoalKind) geom.Polygon {
	ways := 0
	for _, key := range []string{"corners", "size", "shape"} {
		if b.at.Has(path + "." + key) {
			ways++
		}
	}
	if ways != 1 {
		b.at.Errorf(path, `a goal has one shape: write corners = 6 and across = "280 mm", or size = ["300 mm", "80 mm"], `+
			`or shape = [[x, y], ...]`)
		return nil
	}
	if b.at.Has(path+".across") && !b.at.Has(path+".corners") {
		b.at.KeyErrorf(path+".across", "across goes with corners: leave it out, or write corners = 6")
	}
	switch {
	case k.Size != nil:
		half := geom.Vec{X: k.Size.X / 2, Y: k.Size.Y / 2}
		return geom.Rect(geom.Vec{X: -half.X, Y: -half.Y}, half)
	case k.Shape != nil:
		return b.ownShape(path+".shape", b.outline(path+".shape", k.Shape))
	}
	if k.Across == 0 {
		b.at.Errorf(path+".across", `the key "across" is missing: write, for example, across = "280 mm"`)
		return nil
	}
	return geom.Regular(k.Corners, k.Across/2)
}

// ownShape checks an outline that the file gives corner by corner.
func (b *builder) ownShape(path string, p geom.Polygon) geom.Polygon {
	switch low, high := p.Bounds(); {
	case !p.Convex():
		b.at.Errorf(path, "the outline has an inward corner: goals are convex, so leave that corner out")
	case !p.Contains(geom.Vec{}):
		b.at.Errorf(path, "the outline does not hold its own centre, [0, 0]: corners are counted from there")
	case high.X-low.X > 5 || high.Y-low.Y > 5:
		b.at.Errorf(path, "the goal is larger than 5 m: write a smaller one")
	case b.field.Flips() && !mirrored(p):
		b.at.Errorf(path, "the field is mirrored, so a goal's outline must be its own mirror image about its x axis")
	}
	return p
}

// mirrored reports whether a polygon is its own image about the x axis.
func mirrored(p geom.Polygon) bool {
	return !slices.ContainsFunc(p, func(v geom.Vec) bool {
		return !slices.ContainsFunc(p, func(w geom.Vec) bool { return portable.Hypot(v.X-w.X, v.Y+w.Y) < slack })
	})
}
