package rehearse

import (
	"fmt"
	"maps"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/base/record"
	"chalkfield/sim"
)

// Program is Chalkfield's own version as records carry it. The linker writes it when a release is built (.ci/release);
// nothing else does.
var Program = "1.0.0"

// recorder fills the record.
type recorder struct {
	record record.Record
	deltas record.Deltas
	robots slab[record.RobotSample]
	poses  []record.RobotSample // scratch of path
	fault  error                // the first number that is none
}

func newRecorder(s Setup, session fields.Session, world *sim.World, players []*player) *recorder {
	out := &recorder{}
	out.record.Header = record.Header{
		Format: record.Format, Version: record.Version, Program: Program,
		Units: "m, rad, s, V, A, Pa", Session: session.Name, Seed: s.Seed, Nominal: s.Nominal,
		Field:  record.File{Name: s.Field.Name, Title: s.Field.Title, SHA256: s.Field.SHA256},
		Phases: phases(s.Field, session), Bodies: bodies(s.Field),
		Drawn: world.Drawn(),
	}
	for i, p := range players {
		out.record.Header.Robots = append(out.record.Header.Robots, robotHeader(s.Entrants[i], p, s.Field.Marks))
	}
	seconds := 0.0
	for _, phase := range out.record.Header.Phases {
		seconds += phase.Seconds
	}
	samples := int(seconds/record.SamplePeriod) + 2
	if !s.Sparse {
		out.record.Samples = make([]record.Sample, 0, samples)
		out.record.Sources = sources(s)
		return out
	}
	for range players {
		out.record.Ways = append(out.record.Ways, make([]record.Pose, 0, samples))
	}
	return out
}

// sources are the files of a rehearsal, each once.
func sources(s Setup) []record.Source {
	list := []record.Source{{Of: s.Field.SHA256, Name: s.Field.Name, Text: s.Field.Text}}
	known := map[string]bool{}
	add := func(of, name, text string) {
		list = append(list, record.Source{Of: of, Name: name, Text: text})
		known[of] = true
	}
	for _, e := range s.Entrants {
		if !known[e.Robot.SHA256] {
			add(e.Robot.SHA256, e.Robot.Name, e.Robot.Text)
		}
		if p := e.Routine; p != nil && !known[p.SHA256] {
			for _, name := range slices.Sorted(maps.Keys(p.Texts)) {
				add(p.SHA256, name, p.Texts[name])
			}
		}
	}
	return list
}

func phases(f *fields.Field, session fields.Session) []record.Phase {
	var list []record.Phase
	start := 0.0
	for _, i := range session.Phases {
		list = append(list, record.Phase{Name: f.Phases[i].Name, Start: start, Seconds: f.Phases[i].Seconds})
		start += f.Phases[i].Seconds
	}
	return list
}

func bodies(f *fields.Field) []record.Body {
	list := make([]record.Body, 0, len(f.Pieces)+len(f.Goals))
	for _, p := range f.Pieces {
		list = append(list, record.Body{Kind: f.PieceKinds[p.Kind].Name, Name: p.Name, Side: p.Side})
	}
	for _, g := range f.Goals {
		list = append(list, record.Body{Kind: f.GoalKinds[g.Kind].Name, Goal: true, Name: g.Name, Side: g.Side})
	}
	return list
}

func robotHeader(e Entrant, p *player, marks []fields.Mark) record.Robot {
	header := record.Robot{
		File: record.File{Name: e.Robot.Name, Title: e.Robot.Title, SHA256: e.Robot.SHA256},
		Side: p.robot.Side, Start: record.FromGeom(p.robot.Pose()), Routine: p.source(),
		Outside: p.program != nil && p.program.Foreign(),
		Parts:   []record.Part{}, Sensors: []string{},
	}
	for _, corner := range e.Robot.Chassis.Shape() {
		header.Outline = append(header.Outline, [2]float64{record.Round(corner.X), record.Round(corner.Y)})
	}
	for _, part := range e.Robot.Parts {
		header.Parts = append(header.Parts, record.Part{Name: part.Name, Kind: string(part.Kind)})
	}
	for _, sensor := range e.Robot.Sensors {
		header.Sensors = append(header.Sensors, sensor.Name)
	}
	names := make([]string, len(marks))
	for i, m := range marks {
		names[i] = m.Name
	}
	header.Sensors = append(header.Sensors, e.Robot.Columns(names)...)
	return header
}

// take and event add events, with times, places and values rounded as the record keeps them, whoever made the event.
func (out *recorder) take(events []record.Event) {
	for _, e := range events {
		out.event(e)
	}
}

func (out *recorder) event(e record.Event) {
	e.T, e.Value = record.Round(e.T), record.Round(e.Value)
	e.Took, e.Limit = record.Round(e.Took), record.Round(e.Limit)
	e.Overshoot, e.Settle = record.Round(e.Overshoot), record.Round(e.Settle)
	if e.At != nil {
		at := [2]float64{record.Round(e.At[0]), record.Round(e.At[1])}
		e.At = &at
	}
	if e.NotFinite() {
		out.refuse(e.T, "an event of the kind "+string(e.Kind), e.Robot)
		return
	}
	out.record.Events = append(out.record.Events, e)
}

// sample adds the state of every robot and of each body that differs from its last sample.
func (out *recorder) sample(now float64, world *sim.World, players []*player) {
	s := record.Sample{T: record.Round(now), Robots: out.robots.take(len(players))}
	for i, p := range players {
		s.Robots[i] = p.sample()
		if p.host != nil {
			out.record.Header.Robots[i].Signals = p.host.Signals()
		}
	}
	first := len(out.record.Samples) == 0
	for id, body := range world.Bodies() {
		if first || !body.Asleep() { // who sleeps has stood still since the last sample: the engine waits longer
			out.deltas.Add(&s, record.BodySample{ID: id, Pose: record.FromGeom(body.Pose()), In: body.Holder})
		}
	}
	if quantity, robot := s.NotFinite(&out.record.Header); quantity != "" {
		out.refuse(s.T, quantity, robot)
		return
	}
	out.record.Samples = append(out.record.Samples, s)
}

// refuse keeps what is not finite out of the record: it could not be written, and would spread through all that reads
// it.
func (out *recorder) refuse(now float64, quantity string, robot int) {
	if out.fault != nil {
		return
	}
	whose := ""
	if robot >= 0 && robot < len(out.record.Header.Robots) {
		of := &out.record.Header.Robots[robot]
		whose = fmt.Sprintf(" of robot %d (%s, %s)", robot+1, of.File.Name, of.Routine.Name)
	}
	out.fault = fmt.Errorf("at %.2f s %s%s is no finite number any more, so the rehearsal ends: look for a value in the "+
		"robot or field file that no real machine has; if there is none, please report it with these files", now, quantity,
		whose)
}

// path notes where the robots are, instead of a sample. What is no number comes to the poses, or is in the last sample.
func (out *recorder) path(now float64, players []*player) {
	if out.poses == nil {
		out.poses = make([]record.RobotSample, len(players))
	}
	whole := true
	for i, p := range players {
		at := &out.poses[i]
		at.True, at.Belief = record.FromGeom(p.robot.Pose()), record.FromGeom(p.robot.Belief())
		out.record.Ways[i] = append(out.record.Ways[i], at.True)
		whole = whole && at.True.Finite() && at.Belief.Finite()
	}
	if whole {
		return
	}
	s := record.Sample{T: record.Round(now), Robots: out.poses}
	if quantity, robot := s.NotFinite(&out.record.Header); quantity != "" {
		out.refuse(s.T, quantity, robot)
	}
}

// asked lists the parameters that the routines asked for and the values they got, in order.
func asked(players []*player) []record.Number {
	var list []record.Number
	for _, p := range players {
		if p.host == nil {
			continue
		}
		for _, param := range p.host.Params() {
			number := record.Number{Name: param.Name, Value: param.Used}
			if param.Whole() {
				number.Word = param.Words(param.Used)
			}
			if !slices.Contains(list, number) {
				list = append(list, number)
			}
		}
	}
	return list
}

// finish closes the record with the score sheet and what each robot has left.
func (out *recorder) finish(sheet record.Sheet, players []*player) {
	for _, p := range players {
		sheet.Left = append(sheet.Left, p.left())
		sheet.Energy = append(sheet.Energy, p.robot.Energy())
	}
	out.record.Sheet = sheet
	out.record.Header.Params = asked(players)
}
