package scenetest

import (
	"fmt"
	"math"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// Run is what a made-up record is made from.
type Run struct {
	Field   *fields.Field
	Seconds float64
	Robots  int
	Drift   float64 // m: how far the belief is off at the end
	Events  int     // further events, spread over the run
	Long    bool    // very long names and texts everywhere
}

// start and way of the robots: an S through the middle of the floor's bounds, each robot a little aside.
func (r Run) pose(robot int, t float64) geom.Pose {
	low, high := r.Field.Floor.Bounds()
	u := geom.Clamp((t-0.4)/(r.Seconds-1.4), 0, 1)
	if u > 0.45 { // a stand of a tenth of the run
		u = math.Max(0.45, u*1.2-0.2)
	}
	ease := u * u * (3 - 2*u)
	at := func(s float64) geom.Vec {
		x := low.X + (high.X-low.X)*(0.14+0.62*s)
		y := low.Y + (high.Y-low.Y)*(0.18+0.16*float64(robot)+0.5*s+0.18*math.Sin(2*math.Pi*s))
		return geom.Vec{X: x, Y: y}
	}
	a, b := at(ease), at(ease+1e-4)
	heading := math.Atan2(b.Y-a.Y, b.X-a.X)
	if robot%2 == 1 {
		a = geom.Vec{X: low.X + high.X - a.X, Y: low.Y + high.Y - a.Y}
		heading += math.Pi
	}
	return geom.Pose{X: a.X, Y: a.Y, Heading: heading}
}

// Record makes the record.
func (r Run) Record() *record.Record {
	rec := &record.Record{Header: r.header()}
	n := int(math.Round(r.Seconds/record.SamplePeriod)) + 1
	for i := range n {
		rec.Samples = append(rec.Samples, r.sample(i))
	}
	r.bodies(rec)
	r.events(rec)
	rec.Sheet = r.sheet()
	return rec
}

func (r Run) header() record.Header {
	f := r.Field
	h := record.Header{Format: record.Format, Version: record.Version, Session: "autonomous", Seed: 42,
		Field: record.File{Name: f.Name, Title: f.Title}, Phases: []record.Phase{{Name: "autonomous", Seconds: r.Seconds}}}
	for k := range r.Robots {
		robot := record.Robot{
			File:    record.File{Name: "hauler.toml", Title: "Hauler"},
			Routine: record.File{Name: "near.lua", Title: "near sled, then two cores"},
			Side:    k % max(len(f.Sides), 1), Start: record.FromGeom(r.pose(k, 0)),
			Outline: [][2]float64{{-0.2, -0.18}, {0.2, -0.18}, {0.2, 0.18}, {-0.2, 0.18}},
			Parts: []record.Part{{Name: "intake", Kind: "intake"}, {Name: "conveyor", Kind: "conveyor"},
				{Name: "clamp", Kind: "clamp"}, {Name: "scorer", Kind: "scorer"}, {Name: "claw", Kind: "claw"},
				{Name: "lift", Kind: "lift"}},
			Sensors: []string{"left", "right", "front"},
		}
		if r.Long {
			robot.File.Title = strings.Repeat("the machine with the very long name that somebody gave it ", 3)
			robot.Routine.Title = strings.Repeat("a routine whose title goes on and on ", 8)
		}
		h.Robots = append(h.Robots, robot)
	}
	for _, p := range f.Pieces {
		h.Bodies = append(h.Bodies, record.Body{Kind: f.PieceKinds[p.Kind].Name, Name: p.Name, Side: p.Side})
	}
	for _, g := range f.Goals {
		name := g.Name
		if r.Long {
			name += " with a name that is far too long for any label on any picture of this field"
		}
		h.Bodies = append(h.Bodies, record.Body{Kind: f.GoalKinds[g.Kind].Name, Goal: true, Name: name, Side: g.Side})
	}
	return h
}

func (r Run) sample(i int) record.Sample {
	t := float64(i) * record.SamplePeriod
	s := record.Sample{T: record.Round(t)}
	for k := range r.Robots {
		a, b := r.pose(k, t), r.pose(k, t+1e-3)
		off := r.Drift * t / r.Seconds
		robot := record.RobotSample{
			True: record.FromGeom(a), Velocity: [3]float64{(b.X - a.X) / 1e-3, (b.Y - a.Y) / 1e-3, 0},
			Belief: record.FromGeom(geom.Pose{X: a.X + 0.8*off, Y: a.Y - 0.6*off, Heading: a.Heading + 0.4*off}),
			Doing:  record.Moving, Sensors: []float64{t, t, 0.7},
			Parts: []record.PartSample{{Value: 1.2 * math.Sin(t), Body: -1}, {Value: 2, Body: -1},
				{Value: float64(int(t/4) % 2), Body: -1}, {Body: -1}, {Volts: float64(int(t/6) % 2), Body: -1},
				{Value: math.Sin(t / 3), Body: -1}},
		}
		if math.Sin(3*t) > 0.9 {
			robot.Slip = [2]float64{0.3, 0.1}
		}
		if i == 20 {
			robot.News = &record.News{}
			for s := range 60 {
				p := r.pose(k, r.Seconds*float64(s)/60)
				robot.News.Plan = append(robot.News.Plan, [2]float64{p.X + 0.03, p.Y - 0.02})
			}
		}
		s.Robots = append(s.Robots, robot)
	}
	return s
}

// bodies puts every body into the first sample, lets the first robot take some pieces, put them into the first goal and
// drag that goal along.
func (r Run) bodies(rec *record.Record) {
	f := r.Field
	pieces := len(f.Pieces)
	for id, p := range f.Pieces {
		rec.Samples[0].Bodies = append(rec.Samples[0].Bodies, record.BodySample{ID: id, Pose: record.FromGeom(p.At)})
	}
	for k, g := range f.Goals {
		rec.Samples[0].Bodies = append(rec.Samples[0].Bodies, record.BodySample{ID: pieces + k, Pose: record.FromGeom(g.At)})
	}
	if r.Robots == 0 || pieces < 8 || len(f.Goals) == 0 {
		return
	}
	last := len(rec.Samples) - 1
	at := func(share float64) *record.Sample { return &rec.Samples[int(share*float64(last))] }
	for k := range 6 {
		taken := at(0.12 + 0.1*float64(k))
		taken.Bodies = append(taken.Bodies, record.BodySample{ID: k * 3 % pieces, Pose: taken.Robots[0].True,
			In: record.HeldByRobot(0)})
		if k < 4 {
			given := at(0.30 + 0.1*float64(k))
			given.Bodies = append(given.Bodies, record.BodySample{ID: k * 3 % pieces, Pose: given.Robots[0].True,
				In: record.InGoal(pieces)})
		}
	}
	for i := last / 2; i <= last; i++ {
		behind := rec.Samples[i].Robots[0].True.Geom().Compose(geom.Pose{X: -0.35})
		rec.Samples[i].Bodies = append(rec.Samples[i].Bodies, record.BodySample{ID: pieces, Pose: record.FromGeom(behind)})
	}
}

func (r Run) events(rec *record.Record) {
	say := func(share float64, e record.Event) {
		e.T = record.Round(share * r.Seconds)
		rec.Events = append(rec.Events, e)
	}
	say(0, record.Event{Kind: record.PhaseStart, Robot: -1, What: "autonomous"})
	if r.Robots == 0 {
		return
	}
	usual := []record.Event{
		{Kind: record.MotionEnd, What: "ahead", Reason: record.Arrived, Took: 1.2},
		{Kind: record.Pickup, What: "core 1", Part: "claw"},
		{Kind: record.Pickup, What: "core 4"}, {Kind: record.Contact, What: "sled 1", Value: 0.74},
		{Kind: record.Scored, What: "sled 1", Piece: "core 1"}, score(2, 0),
		{Kind: record.Clamped, What: "sled 1", Part: "clamp"},
		{Kind: record.Note, Text: "short by 43 mm"}, {Kind: record.Pickup, What: "core 7"},
		{Kind: record.Crooked, What: "core 4", Goal: "sled 1"},
		{Kind: record.Seated, What: "core 4", Goal: "sled 1"}, {Kind: record.MotionEnd, What: "trace",
			Reason: record.TimedOut, Took: 3, Value: 0.12},
		{Kind: record.Stalled, What: "lift"}, {Kind: record.Foul, What: "centre line", Value: 5},
		{Kind: record.Missed, What: "clamp", Reason: record.Nothing},
		score(8, 6), {Kind: record.Release, What: "core 16"},
		{Kind: record.Failure, File: "near.lua", Line: 31, Text: "attempt to index a nil value (field 'sense')",
			Trace: "near.lua:31: in auto"},
	}
	for k, e := range usual {
		if r.Long {
			e.What = strings.Repeat(e.What+" and again ", 9)
		}
		say(0.08+0.9*float64(k)/float64(len(usual)), e)
	}
	for k := range r.Events {
		kinds := []record.Kind{record.Pickup, record.Scored, record.Contact, record.Note, record.MotionEnd}
		say(float64(k)/float64(r.Events), record.Event{Kind: kinds[k%len(kinds)], What: fmt.Sprintf("thing %d", k),
			Value: 0.1})
	}
}

func score(ochre, teal float64) record.Event {
	return record.Event{Kind: record.ScoreChange, Totals: record.Totals{{Name: "ochre", Value: ochre},
		{Name: "teal", Value: teal}}}
}

func (r Run) sheet() record.Sheet {
	s := record.Sheet{Winner: 0}
	rules := []string{"core in sled", "core on rack", "sled in own camp", "robot in camp at the end",
		"ahead after the autonomous phase"}
	for i, side := range r.Field.Sides {
		s.Sides = append(s.Sides, side.Name)
		s.Total = append(s.Total, 20-6*float64(i))
	}
	for k, rule := range rules {
		if r.Long {
			rule = strings.Repeat(rule+" ", 6)
		}
		row := record.Row{Rule: rule}
		for i := range r.Field.Sides {
			row.Count, row.Points = append(row.Count, float64((k+i)%4)), append(row.Points, float64((k+i)%4*(k+2)))
		}
		s.Rows = append(s.Rows, row)
	}
	for range r.Robots {
		s.Left = append(s.Left, record.Left{Battery: 12.31, Air: 605e3, Strokes: 7})
	}
	return s
}
