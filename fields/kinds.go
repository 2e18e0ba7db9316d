package fields

import (
	"fmt"
	"math"
	"slices"

	"chalkfield/internal/geom"
	"chalkfield/internal/portable"
	"chalkfield/internal/units"
)

func (b *builder) pieceKinds() {
	b.few("piece_kinds", len(b.file.PieceKinds), maxListed)
	for i, k := range b.file.PieceKinds {
		path := fmt.Sprintf("piece_kinds[%d]", i)
		b.name(path+".name", k.Name)
		b.field.PieceKinds = append(b.field.PieceKinds, PieceKind{
			Name: k.Name, Corners: k.Corners, Radius: outerRadius(k.Corners, float64(k.Across)/2), Mass: float64(k.Mass),
			FloorFriction: k.FloorFriction, Friction: k.Friction, Restitution: k.Restitution, Colour: b.colour(path+".colour", k.Colour),
			Mark: b.drawing(path+".mark", k.Mark),
		})
	}
	kinds := b.field.PieceKinds
	b.unique("piece kind", len(kinds), func(i int) (string, string) { return fmt.Sprintf("piece_kinds[%d].name", i), kinds[i].Name })
}

// drawing is what a kind's mark names.
func (b *builder) drawing(path, name string) Drawing {
	if name == "none" {
		return Plain
	}
	b.at.Index(path, "mark", name, []string{"none", string(Ring), string(Star), string(Runners)})
	return Drawing(name)
}

// outerRadius is the distance to a corner of a regular polygon whose flats are at a distance inner.
func outerRadius(corners int, inner float64) float64 {
	if corners == 0 {
		return inner
	}
	return inner / portable.Cos(math.Pi/float64(corners))
}

func (b *builder) goalKinds() {
	b.few("goal_kinds", len(b.file.GoalKinds), maxListed)
	pieces := namesOf(b.field.PieceKinds, func(k PieceKind) string { return k.Name })
	for i, k := range b.file.GoalKinds {
		path := fmt.Sprintf("goal_kinds[%d]", i)
		b.name(path+".name", k.Name)
		if len(k.Takes) == 0 {
			b.at.Errorf(path+".takes", "the goal takes nothing: name a kind of piece")
		}
		b.fixedOrLoose(path, &k)
		b.field.GoalKinds = append(b.field.GoalKinds, GoalKind{
			Name: k.Name, Fixed: k.Fixed, Shape: b.goalShape(path, k), Mass: float64(k.Mass),
			FloorFriction: k.FloorFriction, Friction: k.Friction, Restitution: k.Restitution,
			Room: k.Room, Takes: b.indices(path+".takes", "piece kind", k.Takes, pieces), Height: k.Height, Reach: float64(k.Reach),
			Colour: b.colour(path+".colour", k.Colour), Mark: b.drawing(path+".mark", k.Mark),
		})
	}
	kinds := b.field.GoalKinds
	b.unique("goal kind", len(kinds), func(i int) (string, string) { return fmt.Sprintf("goal_kinds[%d].name", i), kinds[i].Name })
}

// fixedOrLoose checks what only fixed or only pushable goals have. A fixed goal is served from usualReach unless the file says
// otherwise.
func (b *builder) fixedOrLoose(path string, k *goalKindFile) {
	const usualReach = units.Length(0.15)
	if !k.Fixed {
		if k.Mass == 0 {
			b.at.Errorf(path+".mass", `the key "mass" is missing: write, for example, mass = "1.6 kg", or fixed = true`)
		}
		if b.at.Has(path + ".reach") {
			b.at.KeyErrorf(path+".reach", "only a fixed goal has a reach: leave it out, or write fixed = true")
		}
		return
	}
	if b.at.Has(path + ".mass") {
		b.at.KeyErrorf(path+".mass", "a fixed goal does not move: leave its mass out")
	}
	if !b.at.Has(path + ".reach") {
		k.Reach = usualReach
	}
}

// goalShape is the outline in the goal's own frame, from the one of three ways that the file uses.
func (b *builder) goalShape(path string, k goalKindFile) geom.Polygon {
	ways := 0
	for _, key := range []string{"corners", "size", "shape"} {
		if b.at.Has(path + "." + key) {
			ways++
		}
	}
	if ways != 1 {
		b.at.Errorf(path, `a goal has one shape: write corners = 6 and across = "280 mm", or size = ["300 mm", "80 mm"], or shape = [[x, y], ...]`)
		return nil
	}
	if b.at.Has(path+".across") && !b.at.Has(path+".corners") {
		b.at.KeyErrorf(path+".across", "across goes with corners: leave it out, or write corners = 6")
	}
	switch {
	case k.Size != nil:
		half := geom.Vec{X: float64(k.Size[0]) / 2, Y: float64(k.Size[1]) / 2}
		return geom.Rect(geom.Vec{X: -half.X, Y: -half.Y}, half)
	case k.Shape != nil:
		return b.ownShape(path+".shape", b.outline(path+".shape", k.Shape))
	}
	if k.Across == 0 {
		b.at.Errorf(path+".across", `the key "across" is missing: write, for example, across = "280 mm"`)
		return nil
	}
	return geom.Regular(k.Corners, float64(k.Across)/2)
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

// indices finds several names; those not known are noted and left out, as are those named twice.
func (b *builder) indices(path, what string, names, known []string) []int {
	var out []int
	for i, name := range names {
		at := fmt.Sprintf("%s[%d]", path, i)
		k := b.at.Index(at, what, name, known)
		if slices.Contains(out, k) {
			b.at.Errorf(at, "%q is named twice: leave one out", name)
		} else if k >= 0 {
			out = append(out, k)
		}
	}
	return out
}
