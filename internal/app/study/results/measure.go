package results

import (
	"math"
	"slices"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// Measure is a number that a rehearsal comes to and that a study can aim at.
type Measure struct {
	Name string
	Unit string // SI; "" for a plain number
	Of   Naming // what its text in brackets names
	Says string // what it is
	of   func(*measured) float64
}

// Naming is what the text in a measure's brackets names.
type Naming string

const (
	OfNothing Naming = ""
	OfRule    Naming = "rule"
	OfEvent   Naming = "event"
	OfResult  Naming = "result of the routine"
)

// Measures are all that a study can aim at.
var Measures = [...]Measure{
	{"score", "", OfNothing, "points of the own side", scored},
	{"points", "", OfRule, "points that a rule gives the own side", rulePoints},
	{"count", "", OfRule, "how often a rule counts for the own side", ruleCount},
	{"time", "s", OfEvent, "when an event first happens; the length of the session if it does not", firstTime},
	{"times", "", OfEvent, "how often an event happens", howOften},
	{"done", "s", OfNothing, "when the routine comes to its end; the length of the session if it does not", routineEnd},
	{"way", "m", OfNothing, "how far the robot's centre travels", travelled},
	{"overshoot", "m", OfNothing, "how far a motion goes past its end, the farthest of all but turns", overshoot},
	{"turn_overshoot", "rad", OfNothing, "how far a turn goes past its end, the farthest of all", turnOvershoot},
	{"settling", "s", OfNothing, "from the end of a motion's plan to its arrival, the longest of all", settling},
	{"belief_error", "m", OfNothing, "how far the odometry is off at the end", beliefError},
	{"energy", "J", OfNothing, "what the robot takes out of its battery", energy},
	{"battery", "V", OfNothing, "voltage of the battery at the end", batteryLeft},
	{"air", "Pa", OfNothing, "pressure in the reservoir at the end", airLeft},
	{"wall_distance", "m", OfNothing, "least distance of the robot's outline from a wall", wallDistance},
	{"result", "", OfResult, "what the routine gives with result(name, value, unit), the last of the name", given},
}

// measured is a rehearsal that is being measured, with the text in the measure's brackets.
type measured struct {
	*record.Record
	*Subject
	text string
}

// own is the index of the robot under test.
const own = 0

func (m *measured) side() int { return m.Header.Robots[own].Side }

func (m *measured) last() *record.RobotSample { return &m.Samples[len(m.Samples)-1].Robots[own] }

func scored(m *measured) float64      { return m.Sheet.Total[m.side()] }
func rulePoints(m *measured) float64  { return m.row().Points[m.side()] }
func ruleCount(m *measured) float64   { return m.row().Count[m.side()] }
func batteryLeft(m *measured) float64 { return m.last().Battery }
func airLeft(m *measured) float64     { return m.last().Air }

// row is that of the rule; the sheet of a field has the same rows in all rehearsals.
func (m *measured) row() *record.Row {
	return &m.Sheet.Rows[slices.IndexFunc(m.Sheet.Rows, func(r record.Row) bool { return r.Rule == m.text })]
}

// session is its length in s.
func (m *measured) session() float64 {
	seconds := 0.0
	for _, phase := range m.Header.Phases {
		seconds += phase.Seconds
	}
	return seconds
}

// happened are the events of the name.
func (m *measured) happened() (list []*record.Event) {
	name, err := m.words.Event(m.text)
	if err != nil {
		return nil
	}
	for i := range m.Events {
		if e := &m.Events[i]; m.words.Is(e, name) {
			list = append(list, e)
		}
	}
	return list
}

func firstTime(m *measured) float64 {
	if list := m.happened(); len(list) > 0 {
		return list[0].T
	}
	return m.session()
}

func howOften(m *measured) float64 { return float64(len(m.happened())) }

func routineEnd(m *measured) float64 {
	if end := done(m.Events, own); end != Never {
		return end
	}
	return m.session()
}

func travelled(m *measured) float64 {
	sum, points := 0.0, way(m.Record, own)
	for i := 1; i < len(points); i++ {
		sum += geom.Norm(geom.Vec{X: points[i].X - points[i-1].X, Y: points[i].Y - points[i-1].Y})
	}
	return record.Round(sum)
}

func overshoot(m *measured) float64 {
	return m.most(func(e *record.Event) float64 { return map[bool]float64{true: e.Overshoot}[e.Unit != "rad"] })
}

func turnOvershoot(m *measured) float64 {
	return m.most(func(e *record.Event) float64 { return map[bool]float64{true: e.Overshoot}[e.Unit == "rad"] })
}

func settling(m *measured) float64 { return m.most(func(e *record.Event) float64 { return e.Settle }) }

// most is the greatest of what the robot's motions ended with, 0 without any.
func (m *measured) most(of func(*record.Event) float64) float64 {
	most := 0.0
	for i := range m.Events {
		if e := &m.Events[i]; e.Kind == record.MotionEnd && e.Robot == own {
			most = max(most, of(e))
		}
	}
	return most
}

func beliefError(m *measured) float64 {
	s := m.last()
	return record.Round(Result{Pose: s.True, Belief: s.Belief}.OffBelief())
}

func energy(m *measured) float64 {
	if len(m.Sheet.Energy) == 0 { // a record that was kept before there were balances
		return 0
	}
	return m.Sheet.Energy[own].Taken
}

// wallDistance looks at the robot's corners, and at the floor's, which may point inwards, at every sample.
func wallDistance(m *measured) float64 {
	var outline geom.Polygon
	for _, corner := range m.Header.Robots[own].Outline {
		outline = append(outline, geom.Vec{X: corner[0], Y: corner[1]})
	}
	least, placed := math.Inf(1), geom.Polygon(nil)
	for _, pose := range poses(m.Record, own) {
		placed = outline.AppendPlaced(placed[:0], pose.Geom())
		for _, corner := range placed {
			if !m.floor.Contains(corner) {
				return 0
			}
			least = min(least, m.floor.Distance(corner))
		}
		for _, corner := range m.floor {
			least = min(least, placed.Distance(corner))
		}
	}
	return record.Round(least)
}

// given is NaN where the routine gives none.
func given(m *measured) float64 {
	value := math.NaN()
	for i := range m.Events {
		if e := &m.Events[i]; e.Kind == record.Result && e.Robot == own && e.What == m.text {
			_, value = inSI(e.Value, e.Unit)
		}
	}
	return value
}
