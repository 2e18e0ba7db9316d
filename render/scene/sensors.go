package scene

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/sim/robot"
)

// sensorKind is how a kind of sensor is shown.
type sensorKind struct {
	value func(r *robot.Robot, s robot.Sensor) Value       // what its reading is
	place func(d *drawing, s robot.Sensor) geom.Vec        // where its mark stands; nil: where it is mounted
	file  func(d *drawing, s robot.Sensor) (clear float64) // draws more than the mark; gives the room about its name, m
}

// sensorKinds are the rows of all kinds.
var sensorKinds = map[robot.SensorKind]sensorKind{
	robot.Encoder: {value: is(lengths), place: func(d *drawing,
		s robot.Sensor) geom.Vec {
		return d.trainPlace(s.Encoder.Train)
	}},
	robot.Tracking: {value: is(lengths), file: (*drawing).trackingWheel},
	robot.Inertial: {value: is(angles), place: func(*drawing, robot.Sensor) geom.Vec {
		return geom.Vec{X: 0.03, Y: -0.055} // the file does not say where: beside the origin's mark
	}},
	robot.Distance: {value: is(lengths), file: (*drawing).distance},
	robot.Line:     {value: is(Value{Name: "share", Scale: 1}), file: (*drawing).lineSpot},
	robot.Mark:     {value: is(Value{Name: "marks seen", Scale: 1}), file: (*drawing).markView},
	robot.Optical:  {value: is(truths), place: (*drawing).opticalPlace},
	robot.Rotation: {
		value: func(r *robot.Robot, s robot.Sensor) Value { return liftValue(&r.Parts[s.Rotation.On]) },
		place: func(d *drawing, _ robot.Sensor) geom.Vec {
			low, _ := d.body.Bounds()
			return d.body.Nearest(geom.Vec{X: low.X + 0.05, Y: 0.45*low.Y - 0.025})
		},
	},
	robot.Bumper: {value: is(truths), file: func(d *drawing, s robot.Sensor) float64 {
		d.line(Pen{Width: 3.5, Colour: Dust}, s.Bumper.At, geom.Vec{Y: -0.03}, geom.Vec{Y: 0.03})
		return sensorClear
	}},
}

// sensorClear is the usual room about a sensor's name, m.
const sensorClear = 0.008

func is(v Value) func(*robot.Robot, robot.Sensor) Value {
	return func(*robot.Robot, robot.Sensor) Value { return v }
}

// SensorValue is how a sensor's reading is told; spec is nil where its robot file is not at hand.
func SensorValue(spec *robot.Robot, sensor int) Value {
	if spec == nil || sensor >= len(spec.Sensors) {
		return Value{Unit: "m, rad or 1 yes", Scale: 1}
	}
	s := spec.Sensors[sensor]
	return sensorKinds[s.Kind].value(spec, s)
}

// sensor marks a sensor where it is mounted, or where what it measures is, and names it.
func (d *drawing) sensor(s robot.Sensor) {
	kind, at, clear := sensorKinds[s.Kind], s.Mount().At(), sensorClear
	if kind.place != nil {
		at = kind.place(d, s)
	}
	if kind.file != nil {
		clear = kind.file(d, s)
	}
	row := LegendRow{Words: "sensor, bot.sense.NAME", Shape: Square, Fill: Dust, Pen: Pen{Width: 1, Colour: Plate}}
	d.item(Item{Kind: Mark, Shape: row.Shape, At: at, Radius: Size{Pixels: 5}, Fill: row.Fill, Pen: row.Pen, Avoid: true})
	d.explain(row)
	d.name("bot.sense."+s.Name, at, clear, false, Dust, RankPiece)
}

func (d *drawing) trackingWheel(s robot.Sensor) float64 {
	d.wheel(s.Tracking.At, s.Tracking.Radius, sensorPen)
	d.explain(LegendRow{Words: "tracking wheel", Line: sensorPen})
	return s.Tracking.Radius
}

// distance is a ray in the direction in which the sensor looks.
func (d *drawing) distance(s robot.Sensor) float64 {
	ray := Pen{Width: 1.6, Colour: Dust, Dash: Dotted}
	end := s.Distance.At.ToWorld(geom.Vec{X: rayShown})
	d.line(ray, s.Distance.At, geom.Vec{}, geom.Vec{X: rayShown})
	d.item(Item{Kind: Mark, Shape: Dart, At: end, Heading: s.Distance.At.Heading, Radius: Size{Pixels: 6}, Fill: Dust,
		Avoid: true})
	d.explain(LegendRow{Words: "sensor of distance: its direction", Line: ray})
	d.reached(end)
	return sensorClear
}

// lineSpot is the spot of the floor that the sensor looks at.
func (d *drawing) lineSpot(s robot.Sensor) float64 {
	d.item(Item{Kind: Disc, At: s.Line.At, Radius: Size{Metres: s.Line.Spot / 2}, Pen: sensorPen, Avoid: true})
	return sensorClear + s.Line.Spot/2
}

// markView is the sector in which the sensor sees marks, as far as there is room for it.
func (d *drawing) markView(s robot.Sensor) float64 {
	ray := Pen{Width: 1.6, Colour: Dust, Dash: Dotted}
	half := s.Mark.View / 2
	var arc []geom.Vec
	for _, share := range []float64{-1, -0.75, -0.5, -0.25, 0, 0.25, 0.5, 0.75, 1} {
		sin, cos := math.Sincos(share * half)
		arc = append(arc, geom.Vec{X: rayShown * cos, Y: rayShown * sin})
	}
	if s.Mark.View < 2*math.Pi {
		arc = append(append([]geom.Vec{{}}, arc...), geom.Vec{})
	}
	d.line(ray, s.Mark.At, arc...)
	d.explain(LegendRow{Words: "sensor of marks: its field of view", Line: ray})
	d.reached(s.Mark.At.ToWorld(geom.Vec{X: rayShown}))
	return sensorClear
}

// opticalPlace is the place on the conveyor that the sensor watches.
func (d *drawing) opticalPlace(s robot.Sensor) geom.Vec {
	c := d.of.Parts[s.Optical.On].Conveyor
	share := geom.Clamp(s.Optical.Along/math.Max(c.Length, 1e-9), 0, 1)
	from, to := c.Exit, c.Out.At()
	return geom.Vec{X: from.X + (to.X-from.X)*share, Y: from.Y + (to.Y-from.Y)*share}
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
