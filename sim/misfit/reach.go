package misfit

import (
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
	"chalkfield/sim/robot"
)

// give is how much nearer to the hull than its size a piece's centre comes, m: contacts are soft, and a piece may be
// put down that deep in another body.
const give = 0.005

// spare is what a place put right has beyond the least, m.
const spare = 0.02

// jaw is how far before the hull a clamp may hold a goal, m: longer arms than this no robot of such a size has (common
// practice, no source).
const jaw = 0.25

// intake looks whether a piece's centre gets into the mouth. The place of the mouth that is farthest from the hull is a
// corner of it: the distance from a convex shape is greatest at the corners of a polygon.
func (f *finder) intake(in *robot.Intake) {
	if len(f.field.PieceKinds) == 0 {
		return
	}
	farthest := in.Mouth[0]
	for _, v := range in.Mouth {
		if f.hull.clearance(v) > f.hull.clearance(farthest) {
			farthest = v
		}
	}
	kind, has := slimmest(f.field.PieceKinds), f.hull.clearance(farthest)
	if has >= inner(kind)-give {
		return
	}
	out := f.hull.outward(farthest, in.Facing, inner(kind)+spare)
	f.warn(fmt.Sprintf("write a mouth that reaches farther out, with a corner at %s, say", place(out)),
		"no piece gets into its mouth, which ends %s: a %s's centre stays %.0f mm away",
		gap(has), kind.Name, whole(inner(kind)))
}

// claw looks whether a piece on the floor comes within its reach.
func (f *finder) claw(c *robot.Claw) {
	f.piston(c.Piston)
	if len(f.field.PieceKinds) == 0 {
		return
	}
	kind, has := slimmest(f.field.PieceKinds), f.hull.clearance(c.At.At())
	if has+c.Offset >= inner(kind)-give {
		return
	}
	out := f.hull.outward(c.At.At(), c.At.Heading, inner(kind))
	f.warn(fmt.Sprintf("write at = %s, or a greater offset than %.0f mm", place(out), whole(c.Offset)),
		"it reaches no piece: at is %s, a %s's centre stays %.0f mm away", gap(has), kind.Name, whole(inner(kind)))
}

// ends looks whether pieces have room to leave a conveyor.
func (f *finder) ends(index int, c *robot.Conveyor) {
	if len(f.field.PieceKinds) == 0 {
		return
	}
	back := geom.Vec{X: c.Exit.X - c.Out.X, Y: c.Exit.Y - c.Out.Y}
	f.end("exit", "run backwards", c.Exit, portable.Atan2(back.Y, back.X))
	when := "run forwards"
	for _, p := range f.robot.Parts {
		if p.Scorer != nil && p.Scorer.From == index {
			when = "where no goal is in reach"
		}
	}
	f.end("out", when, c.Out.At(), c.Out.Heading)
}

// end looks at one end of a conveyor, whose pieces leave along a direction (rad).
func (f *finder) end(key, when string, at geom.Vec, along float64) {
	kind, has := bulkiest(f.field.PieceKinds), f.hull.clearance(at)
	if has >= kind.Radius-give {
		return
	}
	f.warn(fmt.Sprintf("write %s = %s, or farther out", key, place(f.hull.outward(at, along, kind.Radius))),
		"%s it is stuck: %s is %s, a %s needs %.0f mm to leave", when, key, gap(has), kind.Name, whole(kind.Radius))
}

// gate looks whether what is thrown out has room, and whether its piston moves.
func (f *finder) gate(g *robot.Gate) {
	if g.Motor == nil {
		f.piston(g.Piston)
	}
	if g.Into < 0 && len(f.field.PieceKinds) > 0 {
		f.end("out", "thrown out", g.Out.At(), g.Out.Heading)
	}
}

// clamp looks whether a goal's centre gets near the seat. Beyond twice the offset at which half of the tries succeed
// there are hardly any.
func (f *finder) clamp(c *robot.Clamp) {
	if c.Normal == 0 {
		f.piston(c.Piston)
	}
	if len(f.field.Goals) == 0 {
		return
	}
	least, name, bulk := math.Inf(1), "", 0.0
	for _, g := range f.field.GoalKinds {
		if g.Fixed {
			continue
		}
		if d := g.Shape.Distance(geom.Vec{}); d < least {
			least, name = d, g.Name
		}
		for _, corner := range g.Shape {
			bulk = math.Max(bulk, geom.Norm(corner))
		}
	}
	has := f.hull.clearance(c.At.At())
	switch {
	case name == "":
		f.warn("leave the part out, or choose another field",
			"%s has no goal that can be pushed, so it never holds one", f.field.Title)
	case has+2*c.Offset < least:
		f.warn(fmt.Sprintf("write at = %s", place(f.hull.outward(c.At.At(), c.At.Heading, least))),
			"no goal gets to its seat: at is %s, a %s's centre stays %.0f mm away", gap(has), name, whole(least))
	case has > bulk+jaw:
		f.warn(fmt.Sprintf("write at = %s", place(f.hull.outward(f.hull.nearest(c.At.At()), c.At.Heading, least))),
			"a goal in its seat hangs in the air: at is %s, which leaves %.0f mm between them", gap(has), whole(has-bulk))
	}
}
