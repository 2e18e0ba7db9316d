package scene

import (
	"maps"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
	"chalkfield/sim/robot"
)

// drawing is a robot on its own, seen from above, its front to the right, with everything named as routines name it.
type drawing struct {
	in    units.System
	of    *robot.Robot
	body  geom.Polygon // the chassis, m
	layer Layer
	mount Mount
	shown map[string]LegendRow // rows of the legend that apply, by their words
	low   geom.Vec             // how far the chassis and what is mounted on it reach, m
	high  geom.Vec
}

// The drawing's measures, m.
const (
	wheelWidth = 0.024 // robot files do not give it
	rayShown   = 0.10  // of a distance sensor's ray
	beyondBody = 0.085 // from the mechanisms' reach to the picture's edge
)

var (
	bodyPen   = Pen{Width: 2.5, Colour: Chalk}
	partPen   = Pen{Width: 2, Colour: Accent}
	sensorPen = Pen{Width: 1.6, Colour: Dust}
	freePen   = Pen{Width: 1.6, Colour: Chalk, Dash: Dotted}
	drivenPen = Pen{Width: 2, Colour: Chalk}
)

// Drawing is the scene of a robot file.
func Drawing(in units.System, robot *robot.Robot) *Scene {
	d := &drawing{of: robot, in: in, mount: MountOf(robot), shown: map[string]LegendRow{},
		body: robot.Chassis.Shape()}
	d.low, d.high = d.body.Bounds()
	d.chassis()
	d.wheels()
	for i, part := range robot.Parts {
		if part.Kind != "" { // else the file is not whole yet
			d.part(part, d.mount.Parts[i].At)
		}
	}
	for _, sensor := range robot.Sensors {
		if sensor.Kind != "" {
			d.sensor(sensor)
		}
	}
	d.forward()
	d.dimensions()
	d.layer.Overlay = Robots
	low := geom.Vec{X: d.low.X - beyondBody - 0.04, Y: d.low.Y - 2*beyondBody}
	high := geom.Vec{X: d.high.X + beyondBody, Y: d.high.Y + beyondBody}
	s := &Scene{Ground: Slate, Low: low, High: high, Layers: []Layer{d.layer}}
	s.Furniture = Furniture{Units: in, Title: firstOf(robot.Title, filepath.Base(robot.Name)), Subtitle: d.subtitle(),
		Legend: d.legend(),
		Time:   "seen from above, front to the right"}
	return s
}

func (d *drawing) subtitle() string {
	c := d.of.Chassis
	return d.in.Sprintf("%s, %.4g mm x %.4g mm, %.3g kg, %d motors a side", filepath.Base(d.of.Name), c.Length, c.Width,
		c.Mass, d.of.Drive.PerSide)
}

func (d *drawing) item(item Item) { d.layer.add(item) }

// line draws a polyline in a frame of the robot.
func (d *drawing) line(pen Pen, frame geom.Pose, points ...geom.Vec) {
	placed := make([]geom.Vec, len(points))
	for i, v := range points {
		placed[i] = frame.ToWorld(v)
	}
	d.item(Item{Kind: Line, Points: placed, Pen: pen, Avoid: true})
}

// name labels a thing; clear is the radius that belongs to it, m.
func (d *drawing) name(words string, at geom.Vec, clear float64, bold bool, c Colour, rank Rank) {
	d.layer.label(Label{Words: words, At: at, Clear: Size{Metres: clear, Pixels: 2}, Size: 13, Bold: bold, Colour: c,
		Rank: rank})
}

func (d *drawing) chassis() {
	d.item(Item{Kind: Area, Points: d.body, Fill: SlateTop, Pen: bodyPen})
	d.item(Item{Kind: Mark, Shape: Plus, Radius: Size{Pixels: 12}, Fill: Chalk, Avoid: true})
	d.explain(LegendRow{Words: "origin: the point that poses speak of", Shape: Plus, Fill: Chalk})
	d.item(Item{Kind: Mark, Shape: Hourglass, At: d.of.Chassis.Centre, Radius: Size{Pixels: 7}, Fill: Plate,
		Pen: Pen{Width: 1.5, Colour: Chalk}, Avoid: true})
	d.explain(LegendRow{Words: "centre of mass", Shape: Hourglass, Fill: Plate, Pen: Pen{Width: 1.5, Colour: Chalk}})
}

// forward is an arrow above everything.
func (d *drawing) forward() {
	tip := geom.Vec{X: 0.06, Y: d.high.Y + 0.03}
	d.line(bodyPen, geom.Pose{}, geom.Vec{X: -0.05, Y: tip.Y}, tip)
	d.item(Item{Kind: Mark, Shape: Dart, At: tip, Radius: Size{Metres: 0.013}, Fill: Chalk, Avoid: true})
	d.layer.label(Label{Words: "forward", At: geom.Vec{X: -0.05, Y: tip.Y}, Clear: Size{Pixels: 4},
		Beside: geom.Vec{X: -1}, Size: 13, Colour: Chalk, Rank: RankGrid})
}

// wheels are drawn along the robot: an omni wheel shows its rollers, a traction wheel its tread; a driven wheel's
// outline is solid.
func (d *drawing) wheels() {
	for _, w := range d.of.Wheels {
		pen, turns := drivenPen, "driven wheel"
		if w.Train == robot.Free {
			pen, turns = freePen, "wheel that rolls free"
		}
		d.explain(LegendRow{Words: turns, Line: pen})
		d.wheel(geom.Pose{X: w.At.X, Y: w.At.Y}, w.Radius, pen)
		if omni := w.Across < w.Along/2; omni {
			d.treads(w, RoundShape, d.in.Sprintf("omni wheel, %.4g mm", 2*w.Radius), Plate, Pen{Width: 1.3, Colour: Chalk})
		} else {
			d.treads(w, Bar, d.in.Sprintf("traction wheel, %.4g mm", 2*w.Radius), Chalk, Pen{})
		}
	}
}

func (d *drawing) wheel(at geom.Pose, radius float64, pen Pen) {
	half := geom.Vec{X: radius, Y: wheelWidth / 2}
	d.item(Item{Kind: Area, Points: geom.Rect(geom.Vec{X: -half.X, Y: -half.Y}, half).Placed(at), Fill: Plate, Pen: pen,
		Avoid: true})
}

func (d *drawing) treads(w robot.Wheel, shape Shape, words string, fill Colour, pen Pen) {
	for _, x := range []float64{-0.6, 0, 0.6} {
		at := geom.Vec{X: w.At.X + x*w.Radius, Y: w.At.Y}
		d.item(Item{Kind: Mark, Shape: shape, At: at, Radius: Size{Metres: 0.36 * wheelWidth}, Fill: fill, Pen: pen})
	}
	d.explain(LegendRow{Words: words, Shape: shape, Fill: fill, Pen: pen})
}

// explain puts a way of drawing into the legend, once.
func (d *drawing) explain(row LegendRow) { d.shown[row.Words] = row }

// dimensions are the chassis's length below it and its width left of what reaches back.
func (d *drawing) dimensions() {
	pen := Pen{Width: 1.2, Colour: Dust}
	low, high := d.body.Bounds()
	y := d.low.Y - beyondBody
	d.measured(pen, geom.Vec{X: low.X, Y: y}, geom.Vec{X: high.X, Y: y}, geom.Vec{Y: 0.01}, d.of.Chassis.Length)
	x := d.low.X - 0.06
	d.measured(pen, geom.Vec{X: x, Y: low.Y}, geom.Vec{X: x, Y: high.Y}, geom.Vec{X: 0.01}, d.of.Chassis.Width)
}

// measured is a line between two ticks with a length at its middle.
func (d *drawing) measured(pen Pen, from, to, tick geom.Vec, length float64) {
	for _, end := range []geom.Vec{from, to} {
		d.item(Item{Kind: Line, Pen: pen, Points: []geom.Vec{{X: end.X - tick.X, Y: end.Y - tick.Y},
			{X: end.X + tick.X, Y: end.Y + tick.Y}}})
	}
	d.item(Item{Kind: Line, Pen: pen, Points: []geom.Vec{from, to}})
	middle := geom.Vec{X: (from.X + to.X) / 2, Y: (from.Y + to.Y) / 2}
	d.layer.label(Label{Words: d.in.Sprintf("%.4g mm", length), At: middle, Centred: true, Size: 13, Colour: Chalk,
		Rank: RankGrid})
}

// legend lists what the drawing shows, in a fixed order.
func (d *drawing) legend() []LegendRow {
	var rows []LegendRow
	for _, begin := range []string{"driven", "wheel that", "omni", "traction", "mechanism", "sensor", "tracking",
		"origin", "centre of mass", "goal held", "piece held", "thrown out"} {
		for _, words := range slices.Sorted(maps.Keys(d.shown)) {
			if strings.HasPrefix(words, begin) {
				rows = append(rows, d.shown[words])
			}
		}
	}
	return rows
}

// reached widens the drawing to what sticks out.
func (d *drawing) reached(v geom.Vec) {
	d.low = geom.Vec{X: math.Min(d.low.X, v.X), Y: math.Min(d.low.Y, v.Y)}
	d.high = geom.Vec{X: math.Max(d.high.X, v.X), Y: math.Max(d.high.Y, v.Y)}
}
