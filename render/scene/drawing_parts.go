package scene

import (
	"maps"
	"math"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

func sortedKeys(rows map[string]LegendRow) []string { return slices.Sorted(maps.Keys(rows)) }

// part draws a mechanism by what its file says of it and names it.
func (d *drawing) part(part robot.Part, at geom.Pose) {
	d.explain(LegendRow{Words: "mechanism, bot.NAME in a routine", Line: partPen})
	named, clear := at.At(), 0.012
	switch {
	case part.Intake != nil:
		d.item(Item{Kind: Area, Points: part.Intake.Mouth, Pen: Pen{Width: 2, Colour: Accent, Dash: Dashed}, Avoid: true})
		inwards := part.Intake.Facing + math.Pi
		d.item(Item{Kind: Mark, Shape: Dart, At: named, Heading: inwards, Radius: Size{Metres: 0.013}, Fill: Accent, Avoid: true})
		for _, v := range part.Intake.Mouth {
			d.reached(v)
		}
	case part.Conveyor != nil:
		named = d.conveyor(part.Conveyor)
	case part.Clamp != nil:
		d.clamp(part.Clamp, at)
	case part.Scorer != nil:
		named = part.Scorer.At.At()
		d.item(Item{Kind: Mark, Shape: Dart, At: named, Heading: part.Scorer.At.Heading, Radius: Size{Metres: 0.014}, Fill: Accent, Avoid: true})
		d.reached(named)
	case part.Claw != nil:
		named, clear = part.Claw.At.At(), 0.03
		d.claw(part.Claw)
	case part.Lift != nil:
		named, clear = d.lift(), 0.028
	}
	d.name("bot."+part.Name, named, clear, true, Accent, RankGoal)
}

// conveyor is a belt from the intake end to the scoring end; it gives its middle.
func (d *drawing) conveyor(c *robot.Conveyor) geom.Vec {
	const halfWidth = 0.035 // robot files do not give it
	from, to := c.Exit, c.Out.At()
	length := distance(from, to)
	frame := geom.Pose{X: from.X, Y: from.Y, Heading: math.Atan2(to.Y-from.Y, to.X-from.X)}
	for _, y := range []float64{-halfWidth, halfWidth} {
		d.line(partPen, frame, geom.Vec{Y: y}, geom.Vec{X: length, Y: y})
	}
	for _, share := range []float64{0.2, 0.8} {
		d.item(Item{Kind: Mark, Shape: Dart, At: frame.ToWorld(geom.Vec{X: share * length}), Heading: frame.Heading, Radius: Size{Metres: 0.010}, Fill: Accent, Avoid: true})
	}
	d.reached(from)
	d.reached(to)
	return frame.ToWorld(geom.Vec{X: 0.62 * length, Y: halfWidth})
}

// clamp is two jaws at the body's edge, and the place of the goal's centre when it is held.
func (d *drawing) clamp(c *robot.Clamp, edge geom.Pose) {
	const root, tip, long = 0.06, 0.085, 0.04 // how the jaws are drawn; robot files do not give it
	d.line(Pen{Width: 3, Colour: Accent}, edge, geom.Vec{X: long, Y: tip}, geom.Vec{Y: root}, geom.Vec{Y: -root}, geom.Vec{X: long, Y: -tip})
	d.item(Item{Kind: Mark, Shape: Cross, At: c.At.At(), Radius: Size{Pixels: 6}, Fill: Accent, Avoid: true})
	d.explain(LegendRow{Words: "goal held: its centre", Shape: Cross, Fill: Accent})
	d.reached(c.At.At())
}

// claw is two fingers about the place of the piece that it takes.
func (d *drawing) claw(c *robot.Claw) {
	const wide = 0.03
	d.line(partPen, c.At, geom.Vec{X: wide, Y: wide}, geom.Vec{X: -wide / 2, Y: wide}, geom.Vec{X: -wide / 2, Y: -wide}, geom.Vec{X: wide, Y: -wide})
	d.item(Item{Kind: Mark, Shape: Diamond, At: c.At.At(), Radius: Size{Pixels: 5}, Fill: Accent, Avoid: true})
	d.explain(LegendRow{Words: "piece held: the claw's place, deployed", Shape: Diamond, Fill: Accent})
	d.reached(c.At.At())
}

// lift is the dial that it has in pictures of runs: a robot file does not say where it stands.
func (d *drawing) lift() geom.Vec {
	const radius = 0.025
	at := geom.Vec{X: -d.half.X + 2*radius, Y: -0.45 * d.half.Y}
	d.item(Item{Kind: Disc, At: at, Radius: Size{Metres: radius}, Fill: Plate, Pen: partPen, Avoid: true})
	d.line(partPen, geom.Pose{X: at.X, Y: at.Y}, geom.Vec{}, geom.Vec{X: radius * 0.8, Y: radius * 0.45})
	return at
}

// sensor marks a sensor where it is mounted, or where what it measures is, and names it.
func (d *drawing) sensor(s robot.Sensor) {
	at, clear := d.sensorPlace(s), 0.008
	row := LegendRow{Words: "sensor, bot.sense.NAME", Shape: Square, Fill: Dust, Pen: Pen{Width: 1, Colour: Plate}}
	switch s.Kind {
	case robot.Tracking:
		d.wheel(s.Tracking.At, s.Tracking.Radius, sensorPen)
		d.explain(LegendRow{Words: "tracking wheel", Line: sensorPen})
		clear = s.Tracking.Radius
	case robot.Distance:
		ray := Pen{Width: 1.6, Colour: Dust, Dash: Dotted}
		d.line(ray, s.Distance.At, geom.Vec{}, geom.Vec{X: rayShown})
		d.item(Item{Kind: Mark, Shape: Dart, At: s.Distance.At.ToWorld(geom.Vec{X: rayShown}), Heading: s.Distance.At.Heading, Radius: Size{Pixels: 6}, Fill: Dust, Avoid: true})
		d.explain(LegendRow{Words: "sensor of distance: its direction", Line: ray})
		d.reached(s.Distance.At.ToWorld(geom.Vec{X: rayShown}))
	case robot.Bumper:
		d.line(Pen{Width: 3.5, Colour: Dust}, s.Bumper.At, geom.Vec{Y: -0.03}, geom.Vec{Y: 0.03})
	}
	d.item(Item{Kind: Mark, Shape: row.Shape, At: at, Radius: Size{Pixels: 5}, Fill: row.Fill, Pen: row.Pen, Avoid: true})
	d.explain(row)
	d.name("bot.sense."+s.Name, at, clear, false, Dust, RankPiece)
}

// sensorPlace is where a sensor's mark stands: encoders by their train's wheels, those on a mechanism at it.
func (d *drawing) sensorPlace(s robot.Sensor) geom.Vec {
	at := s.Mount().At()
	switch s.Kind {
	case robot.Encoder:
		return d.trainPlace(s.Encoder.Train)
	case robot.Inertial:
		return geom.Vec{X: 0.03, Y: -0.055} // the file does not say where: beside the origin's mark
	case robot.Optical:
		if on := s.Optical.On; on >= 0 && on < len(d.of.Parts) && d.of.Parts[on].Conveyor != nil {
			c := d.of.Parts[on].Conveyor
			share := geom.Clamp(s.Optical.Along/math.Max(c.Length, 1e-9), 0, 1)
			from, to := c.Exit, c.Out.At()
			return geom.Vec{X: from.X + (to.X-from.X)*share, Y: from.Y + (to.Y-from.Y)*share}
		}
	case robot.Rotation:
		return geom.Vec{X: -d.half.X + 0.05, Y: -0.45*d.half.Y - 0.025}
	}
	return at
}

// trainPlace is inside of the first wheel of a train.
func (d *drawing) trainPlace(train robot.Train) geom.Vec {
	for _, w := range d.of.Wheels {
		if w.Train == train {
			return geom.Vec{X: w.At.X, Y: w.At.Y - math.Copysign(wheelWidth/2+0.008, w.At.Y)}
		}
	}
	return geom.Vec{}
}
