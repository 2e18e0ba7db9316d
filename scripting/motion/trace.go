package motion

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
)

const (
	apart = 0.001 // m: points closer than this to the one before are one point
	// a change of direction at a point beyond which the robot stops there and turns on the spot
	cusp     = 135 * math.Pi / 180
	farOff   = 75 * math.Pi / 180 // an angle between heading and curve beyond which the robot turns before it drives
	straight = 3 * math.Pi / 180  // an angle that the tracking takes along
)

// Trace follows a smooth curve from the present pose through all the points in order, and stops at the last. Points
// less than a millimetre apart count once. Where the row doubles back by more than 135 degrees, the robot stops, turns
// on the spot and goes on; it turns first if the curve starts more than 75 degrees off its heading, or if that is
// quicker. On a base whose pivot is not the robot's point, points that are near together or at a sharp corner are met
// less closely, by up to half the distance between the two.
func Trace(points []geom.Vec, o Options) (*Motion, error) {
	const name = "trace"
	if len(points) == 0 {
		return nil, &ArgumentError{name, "points", "are none: at least one is needed"}
	}
	for i, p := range points {
		if err := checkPoint(name, fmt.Sprintf("point %d", i+1), p); err != nil {
			return nil, err
		}
	}
	points = append([]geom.Vec(nil), points...)
	m, err := newMotion(name, o)
	if err != nil {
		return nil, err
	}
	m.kind = toPoint
	m.lay = func(m *Motion) error {
		m.layTrace(points)
		return nil
	}
	return m, nil
}

func (m *Motion) layTrace(points []geom.Vec) {
	m.goal = geom.Pose{X: points[len(points)-1].X, Y: points[len(points)-1].Y}
	rows := cutAtCusps(thinned(m.robot(), points))
	start, heading := m.now.at, travelling(m.now.pose(), m.options.Reverse).Heading
	length := 0.0
	for _, row := range rows {
		length += rowLength(row)
	}
	spacing := max(fine, length/maxRows)
	for i, row := range rows {
		row[0] = start
		var leg *curveLeg
		if i == 0 {
			leg = m.traceFirst(row, heading, spacing)
		} else {
			leg = m.traceNext(row, heading, spacing)
		}
		start, heading = leg.curve.end().At(), leg.curve.end().Heading
	}
	if leg := m.lastCurve(); leg != nil {
		leg.exit = m.options.Exit
		leg.plan(leg.curve.nodes[0].speed)
	}
}

// thinned is the row from the start through the points, without those that coincide with the one before.
func thinned(start geom.Vec, points []geom.Vec) []geom.Vec {
	row := []geom.Vec{start}
	for _, p := range points {
		if geom.Norm(r2.Sub(p, row[len(row)-1])) >= apart {
			row = append(row, p)
		}
	}
	return row
}

// cutAtCusps splits a row where it doubles back; the point stands at the end of one part and the start of the next.
func cutAtCusps(row []geom.Vec) [][]geom.Vec {
	if len(row) < 2 {
		return nil
	}
	var parts [][]geom.Vec
	start := 0
	for i := 1; i < len(row)-1; i++ {
		in, out := r2.Sub(row[i], row[i-1]), r2.Sub(row[i+1], row[i])
		if math.Abs(portable.Atan2(geom.Cross(in, out), geom.Dot(in, out))) > cusp {
			parts = append(parts, append([]geom.Vec(nil), row[start:i+1]...))
			start = i
		}
	}
	return append(parts, row[start:])
}

func rowLength(row []geom.Vec) float64 {
	length := 0.0
	for i := range len(row) - 1 {
		length += geom.Norm(r2.Sub(row[i+1], row[i]))
	}
	return length
}

// traceFirst lays the part that begins at the robot: along its heading, or after a turn to where the curve wants to
// start.
func (m *Motion) traceFirst(row []geom.Vec, heading, spacing float64) *curveLeg {
	after := m.traceLeg(row, nil, spacing, 0)
	turn := newTurn(&m.ability, &m.now, after.curve.start().Heading-m.back(), Shortest)
	if math.Abs(turn.delta) <= farOff {
		atOnce := m.traceLeg(row, &heading, spacing, after.forward(&m.now))
		if atOnce.seconds() <= turn.seconds()+after.seconds() {
			m.legs = append(m.legs, atOnce)
			return atOnce
		}
	}
	m.legs = append(m.legs, turn, after)
	return after
}

// traceNext lays a part that begins with a turn on the spot from a direction of travel.
func (m *Motion) traceNext(row []geom.Vec, heading, spacing float64) *curveLeg {
	leg := m.traceLeg(row, nil, spacing, 0)
	standing := &reading{heading: heading - m.back()}
	m.legs = append(m.legs, newTurn(&m.ability, standing, leg.curve.start().Heading-m.back(), Shortest), leg)
	return leg
}

// traceLeg lays the pivot's curve from the first point of a row, so that the robot's own point meets the others, and
// times it from a speed.
func (m *Motion) traceLeg(row []geom.Vec, heading *float64, spacing, speed float64) *curveLeg {
	s := newSpline(row, heading)
	met, lead := row, leadOf(m.ability.Pivot, m.options.Reverse)
	for range shiftLimit {
		moved := 0.0
		if row, moved = s.shifted(met, row, lead); moved < shiftDone {
			break
		}
		s = newSpline(row, heading)
	}
	leg := &curveLeg{a: &m.ability, reverse: m.options.Reverse}
	s.lay(&leg.curve, row, spacing)
	leg.plan(speed)
	return leg
}

const (
	shiftLimit = 12    // times that a spline is laid anew for the pivot
	shiftDone  = 0.001 // m: points that move less no longer count
)

// lastCurve is the last leg if it is a curve.
func (m *Motion) lastCurve() *curveLeg {
	if len(m.legs) == 0 {
		return nil
	}
	leg, _ := m.legs[len(m.legs)-1].(*curveLeg)
	return leg
}
