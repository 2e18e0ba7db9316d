package scene

import (
	"math"

	"chalkfield/internal/base/geom"
)

// drawEnds names the mechanisms where they take things and let them go, with a dart the way that these move.
func (b *Builder) drawEnds(robot *machine, pose geom.Pose) {
	layer := b.layer(Robots)
	for _, part := range robot.mount.Parts {
		for _, end := range part.Ends {
			if end.Feeds {
				continue
			}
			at := pose.Compose(end.At)
			way := at.Heading
			if end.In {
				way += math.Pi
			}
			layer.add(Item{Kind: Mark, Shape: Dart, At: at.At(), Heading: way, Radius: Size{Metres: 0.012, Pixels: 2},
				Fill: b.tint.Accent, Avoid: true})
			words := part.Name
			if end.Short != "" {
				words += ", " + end.Short
			}
			layer.label(Label{Words: words, At: at.At(), Clear: Size{Metres: 0.012, Pixels: 3}, Size: 12, Colour: b.tint.Accent,
				Rank: RankPart})
		}
	}
}
