package rehearse

import (
	"fmt"
	"slices"

	"chalkfield/fields"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/sim"

	"gonum.org/v1/gonum/spatial/r2"
)

// player is one entrant at work: the simulated robot and who commands it.
type player struct {
	robot   *sim.Robot
	program *scripting.Program
	host    *scripting.Host // nil: no routine
	replay  *replay         // nil: no replay
	pad     Pad
	events  []record.Event // sent by the host since the last drain
	late    float64        // s: the drawn reaction time
	starts  float64        // s: when the routine begins in this phase
	waiting scripting.Phase
	begun   bool
	plan    planTrack

	partSlab   slab[record.PartSample]
	sensorSlab slab[float64]
	told       []float64 // scratch of readings
}

// entries resolves sides and starts and lists the robots for the world.
func entries(s Setup) ([]sim.Entry, error) {
	if len(s.Entrants) == 0 {
		return nil, fmt.Errorf("a rehearsal needs a robot")
	}
	list := make([]sim.Entry, len(s.Entrants))
	for i, e := range s.Entrants {
		side, err := SideOf(s.Field, e)
		if err != nil {
			return nil, err
		}
		list[i] = sim.Entry{Spec: e.Robot, Known: e.Known, Side: side}
		if e.startless() {
			continue
		}
		if list[i].Start, err = StartOf(s.Field, e, side); err != nil {
			return nil, err
		}
	}
	return list, placeRest(s, list)
}

// startless reports whether the robot stands anywhere, because its program never said where it starts.
func (e Entrant) startless() bool { return e.Start == nil && e.Routine != nil && e.Routine.Lost() }

// placeRest puts robots of which nothing tells where they start to where there is room beside the others.
func placeRest(s Setup, list []sim.Entry) error {
	var placed []sim.Entry
	for i, e := range s.Entrants {
		if !e.startless() {
			placed = append(placed, list[i])
		}
	}
	for i, e := range s.Entrants {
		if !e.startless() {
			continue
		}
		placed = append(placed, list[i])
		room, found := sim.Room(sim.Config{Field: s.Field, Robots: placed})
		if !found {
			return fmt.Errorf("%s has no room for %s", s.Field.Title, e.Robot.Title)
		}
		list[i].Start = room
	}
	return nil
}

// SideOf is the side that an entrant plays for: asked for, or the one its routine is written for, or the first.
func SideOf(f *fields.Field, e Entrant) (int, error) {
	switch {
	case e.Side != "":
		return f.SideIndex(e.Side)
	case e.Routine != nil:
		return writtenFor(f, e.Routine)
	}
	return 0, nil
}

// writtenFor is the side whose coordinates the routine uses.
func writtenFor(f *fields.Field, p *scripting.Program) (int, error) {
	if p.Side == "" {
		return 0, nil
	}
	side, err := f.SideIndex(p.Side)
	if err != nil {
		return 0, fmt.Errorf("%s: side = %q: %w", p.Place("side"), p.Side, err)
	}
	return side, nil
}

// StartOf is the start pose of an entrant on a side in the field's frame, before the spread moves it.
func StartOf(f *fields.Field, e Entrant, side int) (geom.Pose, error) {
	switch {
	case e.Start != nil:
		return *e.Start, nil
	case e.Replay != nil && (len(e.Replay.Samples) == 0 || len(e.Replay.Samples[0].Robots) == 0):
		return geom.Pose{}, fmt.Errorf("the record to replay has no samples of a robot")
	case e.Replay != nil && e.Replay.Header.Robots[0].Side != side:
		return f.Mirror(e.Replay.Samples[0].Robots[0].True.Geom()), nil
	case e.Replay != nil:
		return e.Replay.Samples[0].Robots[0].True.Geom(), nil
	case e.Routine == nil:
		return geom.Pose{}, fmt.Errorf("a robot without a routine needs a start pose")
	}
	start, err := e.Routine.StartOn(f.Tile)
	if err != nil {
		return geom.Pose{}, err
	}
	if start == nil {
		if place, named := f.StartFor(side); named {
			return place, nil
		}
		if e.Routine.Foreign() {
			return geom.Pose{}, fmt.Errorf(`%s: the program has no start: its answer "ready" needs "start": {"x": 600, `+
				`"y": 450, "heading": 90}`, e.Routine.Name)
		}
		return geom.Pose{}, fmt.Errorf("%s: the routine has no start: write start = {x = 600, y = 450, heading = 90} in "+
			"routine{...}", e.Routine.Name)
	}
	written, err := writtenFor(f, e.Routine)
	if err != nil {
		return geom.Pose{}, err
	}
	if written == side {
		return *start, nil
	}
	return f.Mirror(*start), nil
}

// players builds the hosts and replays for the world's robots.
func players(s Setup, world *sim.World) ([]*player, error) {
	list := make([]*player, len(s.Entrants))
	for i, e := range s.Entrants {
		robot := world.Robots()[i]
		p := &player{robot: robot, program: e.Routine, pad: e.Pad, late: robot.Reaction()}
		list[i] = p
		if e.Replay != nil {
			p.replay = newReplay(e.Replay, s.Field, robot)
		}
		if e.Routine == nil {
			continue
		}
		env, err := p.env(s, i)
		if err != nil {
			return list, err
		}
		if p.host, err = e.Routine.NewHost(robot, env); err != nil {
			return list, err
		}
		p.events = append(p.events, misfits(s, i)...)
	}
	return list, nil
}

func (p *player) env(s Setup, index int) (scripting.Env, error) {
	written, err := writtenFor(s.Field, p.program)
	if err != nil {
		return scripting.Env{}, err
	}
	env := scripting.Env{
		Sink: func(e record.Event) { p.events = append(p.events, e) },
		Tile: s.Field.Tile, Robot: index, Side: s.Field.Sides[p.robot.Side].Name, Seed: s.Seed, Params: s.Params,
		Floor: s.Field.Floor, Charge: p.robot.Spec.Battery.Open, History: s.Entrants[index].History,
	}
	if written != p.robot.Side {
		env.Frame = s.Field.Frame()
		if f := s.Field; env.Frame.Kind != geom.NoSymmetry && len(f.Sides) == 2 {
			env.Twins = [2]string{f.Sides[0].Name, f.Sides[1].Name}
		}
	}
	env.Marks = marksOf(s.Field, env.Frame)
	return env, nil
}

// marksOf are the field's marks as a routine that is played in a frame knows them: each by the name of the one that
// stands where the routine's own side has it, if one does.
func marksOf(f *fields.Field, frame geom.Symmetry) []scripting.Mark {
	const same = 1e-6 // m
	list := make([]scripting.Mark, len(f.Marks))
	for i, m := range f.Marks {
		at := frame.Point(m.At.At())
		list[i] = scripting.Mark{Name: m.Name, At: at}
		for _, twin := range f.Marks {
			if frame.Kind != geom.NoSymmetry && geom.Norm(r2.Sub(twin.At.At(), at)) < same && twin.High == m.High {
				list[i].Name = twin.Name
			}
		}
	}
	return list
}

// begin hands the robot to the routine's function for a phase, after the drawn reaction time.
func (p *player) begin(control fields.Control, now float64) {
	p.begun, p.starts, p.waiting = false, now+p.late, scripting.Auto
	missing := p.program != nil && !p.program.HasAuto
	if control == fields.Driver {
		p.waiting = scripting.Driver
		missing = p.program != nil && !p.program.HasDriver
	}
	if missing {
		p.events = append(p.events, record.Event{T: now, Kind: record.Note, Robot: p.robot.Index, Text: fmt.Sprintf(
			"%s has no %s: the robot stands in this phase", p.program.Name, p.program.Wants(p.waiting))})
	}
}

// tick is one control tick of the routine, or of the replay.
func (p *player) tick(now float64) {
	switch {
	case p.replay != nil:
		p.replay.tick(now)
	case p.host == nil || now < p.starts:
		return
	default:
		if !p.begun {
			p.begun = true
			p.host.Begin(p.waiting)
		}
		if p.pad != nil && p.waiting == scripting.Driver {
			p.host.SetPad(p.pad.At(now))
		}
		p.host.Tick(now)
	}
}

// stop ends a phase: the robot is disabled until the next begins.
func (p *player) stop() {
	if p.host != nil {
		p.host.Stop()
	}
	p.robot.StopMotors()
}

// drain gives the events that the routine sent since the last call.
func (p *player) drain() []record.Event {
	events := p.events
	p.events = p.events[:0]
	return events
}

// stamp marks an event of the simulator with the routine's line that stood at work.
func (p *player) stamp(e record.Event) record.Event {
	if p.host != nil && p.begun && e.Line == 0 {
		e.Task, e.File, e.Line = p.host.Where()
	}
	return e
}

// source is the routine as the record's header names it.
func (p *player) source() record.File {
	if p.replay != nil {
		return record.File{Title: "a replay of " + p.replay.title}
	}
	if p.program == nil {
		return record.File{}
	}
	return record.File{Name: p.program.Name, Title: p.program.Title, SHA256: p.program.SHA256}
}

func (p *player) close() {
	if p != nil && p.host != nil {
		p.host.Close()
	}
}

// planTrack notices when the planned curve has changed since the last sample.
type planTrack struct{ last []geom.Vec }

func (t *planTrack) changed(now []geom.Vec) [][2]float64 {
	if slices.Equal(t.last, now) {
		return nil
	}
	t.last = slices.Clone(now)
	points := make([][2]float64, len(now))
	for i, v := range now {
		points[i] = [2]float64{record.Round(v.X), record.Round(v.Y)}
	}
	return points
}
