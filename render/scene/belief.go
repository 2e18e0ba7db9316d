package scene

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// drawBelief draws where the robot thinks that it is, and by how much that is wrong. A belief outside the picture is
// shown by an arrow at its edge.
func (b *Builder) drawBelief(robot *machine, pose, belief geom.Pose) {
	layer := b.layer(Belief)
	if !plausible(belief.At()) || math.IsNaN(belief.Heading) {
		return
	}
	words := errorWords(b.in.Units, pose, belief)
	if len(b.robots) > 1 {
		words = robot.number + ": " + words
	}
	low, high := b.scene.Low, b.scene.High
	if belief.X > low.X && belief.X < high.X && belief.Y > low.Y && belief.Y < high.Y {
		b.drawOutline(Belief, robot, belief, Dashed)
		layer.add(Item{Kind: Line, Points: b.placed(geom.Pose{}, pose.At(), belief.At()),
			Pen: Pen{Width: 1, Colour: Chalk, Dash: Dotted}})
		layer.label(Label{Words: words, At: belief.At(), Clear: Size{Metres: robot.reach * 0.9}, Size: 12, Colour: Chalk,
			Rank: RankBelief})
		return
	}
	inset := 0.02 * math.Max(high.X-low.X, high.Y-low.Y)
	edge := geom.Vec{X: geom.Clamp(belief.X, low.X+inset, high.X-inset),
		Y: geom.Clamp(belief.Y, low.Y+inset, high.Y-inset)}
	way := math.Atan2(belief.Y-edge.Y, belief.X-edge.X)
	layer.add(Item{Kind: Line, Points: b.placed(geom.Pose{}, pose.At(), edge),
		Pen: Pen{Width: 1, Colour: Chalk, Dash: Dotted}})
	layer.add(Item{Kind: Mark, Shape: Dart, At: edge, Heading: way, Radius: Size{Pixels: 8}, Fill: robot.side.colour,
		Pen: Pen{Width: 1, Colour: Chalk}, Avoid: true})
	layer.label(Label{Words: words + ", outside the picture", At: edge, Clear: Size{Pixels: 10}, Size: 12, Colour: Chalk,
		Rank: RankBelief})
}

// errorWords says how far the belief is from the truth: "belief off 143 mm, 4.2 deg".
func errorWords(in units.System, pose, belief geom.Pose) string {
	far := distance(pose.At(), belief.At())
	turn := math.Abs(geom.WrapAngle(belief.Heading-pose.Heading)) / deg
	if far < 1 {
		return in.Sprintf("belief off %.0f mm, %.1f deg", far, turn)
	}
	return in.Sprintf("belief off %.2f m, %.1f deg", far, turn)
}

// drawRays draws what each distance sensor sees: a thin line to the place that its reading puts the hit.
func (b *Builder) drawRays(robot *machine, pose geom.Pose, readings []float64) {
	layer := b.layer(Rays)
	for _, ray := range robot.mount.Rays {
		if ray.Sensor < 0 || ray.Sensor >= len(readings) || !(math.Abs(readings[ray.Sensor]) < farthest) {
			continue
		}
		from := pose.Compose(ray.At)
		hit := from.ToWorld(geom.Vec{X: readings[ray.Sensor]})
		layer.add(Item{Kind: Line, Points: b.placed(geom.Pose{}, from.At(), hit),
			Pen: Pen{Width: 1, Colour: Chalk, Dash: Dotted}})
		layer.add(Item{Kind: Disc, At: hit, Radius: Size{Pixels: 4}, Pen: Pen{Width: 1.5, Colour: Chalk}})
	}
}
