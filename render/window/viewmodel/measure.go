package viewmodel

import (
	"fmt"
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// Measurement is a distance being taken: no point yet, one, or both.
type Measurement struct {
	Points int
	A, B   geom.Vec
}

// Add takes a point: the first, the second, or after two the first of a new measurement.
func (m *Measurement) Add(v geom.Vec) {
	switch m.Points {
	case 1:
		m.B, m.Points = v, 2
	default:
		m.A, m.B, m.Points = v, v, 1
	}
}

// Follow moves the end that is not fixed yet.
func (m *Measurement) Follow(v geom.Vec) {
	if m.Points == 1 {
		m.B = v
	}
}

// TakePoint measures from or to a place of the field, and says what came of it.
func (d *Model) TakePoint(at geom.Vec) {
	if d.Measured.Add(at); d.Measured.Points == 2 {
		d.Say(d.Measured.In(d.Units))
	}
}

// MeasureTo moves the end of a measurement that is not fixed yet.
func (d *Model) MeasureTo(at geom.Vec) { d.Measured.Follow(at) }

// Distance (m) and Heading (rad) from A to B.
func (m Measurement) Distance() float64 { return math.Hypot(m.B.X-m.A.X, m.B.Y-m.A.Y) }
func (m Measurement) Heading() float64  { return math.Atan2(m.B.Y-m.A.Y, m.B.X-m.A.X) }

// In is "1200 mm at 45 deg (dx 849, dy 849)", or that in inches.
func (m Measurement) In(in units.System) string {
	return fmt.Sprintf("%s at %s deg (dx %s, dy %s)", in.Text(m.Distance(), "mm", 0), tidy(geom.Degrees(m.Heading()), 1),
		in.Figure(m.B.X-m.A.X, "mm", 0), in.Figure(m.B.Y-m.A.Y, "mm", 0))
}
