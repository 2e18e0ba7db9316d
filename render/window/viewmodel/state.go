package viewmodel

import (
	"fmt"

	"chalkfield/internal/base/record"
)

// State is the model in words and numbers, for tests of the window.
type State struct {
	Time     float64  `json:"time"`
	End      float64  `json:"end"`
	Playing  bool     `json:"playing"`
	Rate     float64  `json:"rate"`
	Mode     string   `json:"mode"`
	Runs     int      `json:"runs"`
	Busy     bool     `json:"busy"`
	Routine  string   `json:"routine"`
	Title    string   `json:"title"`
	Fault    string   `json:"fault"`
	Line     int      `json:"fault_line"`
	Notice   string   `json:"notice"`
	Bad      bool     `json:"bad"`
	Selected string   `json:"selected"`
	Overlays string   `json:"overlays"`
	Pale     bool     `json:"pale"`
	HasPale  bool     `json:"has_pale"`
	Signals  []string `json:"signals"`
	Totals   []string `json:"totals"` // score of each side at this time
	Final    []string `json:"final"`  // and at the end
	Start    string   `json:"start"`  // of the robot under test, as it would be written
	Robot    string   `json:"robot"`  // its true pose at this time
	Measured string   `json:"measured"`
	Undo     int      `json:"undo"`
	Driving  bool     `json:"driving"`
	Begun    bool     `json:"begun"`
	Events   []Moment `json:"events"`
	Log      string   `json:"log"` // what is said of the log beside the run
	Study    string   `json:"study"`
	Seed     uint64   `json:"seed"`

	Lesson LessonState `json:"lesson"`
}

// LessonState is how far the lesson that is open has come.
type LessonState struct {
	Name   string  `json:"name"` // "": none is open
	Done   int     `json:"done"` // steps
	Judged bool    `json:"judged"`
	Passed bool    `json:"passed"`
	Stars  int     `json:"stars"`
	Hints  int     `json:"hints"` // opened
	Gates  int     `json:"gates"` // of a course: crossed by now
	Best   float64 `json:"best"`  // s
}

// Moment is an event on the time strip.
type Moment struct {
	T    float64     `json:"t"`
	Kind string      `json:"kind"`
	Row  record.Lane `json:"row"`
}

// State gathers it.
func (d *Model) State() State {
	_, busy := d.Busy()
	s := State{
		Time: record.Round(d.Time), End: d.End, Playing: d.Playing, Rate: d.Rate, Mode: string(d.Mode), Runs: d.Runs,
		Busy:    busy,
		Routine: d.Files.Routine, Notice: d.Notice.Text, Bad: d.Notice.Bad, Overlays: d.Overlays.String(), Pale: d.Pale,
		HasPale: d.Before != nil, Signals: d.Signals, Undo: len(d.undo), Driving: d.Driving(), Begun: d.Begun(),
	}
	if s.Seed = d.Chosen().Seed; d.study != nil {
		have, due := d.study.Progress()
		s.Study = fmt.Sprintf("%s, %d of %d", map[bool]string{true: "done", false: "under way"}[d.study.Ended], have, due)
	}
	if d.Fault != nil {
		s.Fault, s.Line = d.Fault.Text, d.Fault.Line
	}
	if d.Selected != Nothing {
		s.Selected = d.NameOf(d.Selected)
	}
	if d.Measured.Points == 2 {
		s.Measured = d.Measured.In(d.Units)
	}
	if d.Now != nil {
		d.runState(&s)
	}
	if p := d.learning.page; p != nil {
		driven, _ := d.Course()
		s.Lesson = LessonState{p.Name, p.Current(), p.Judged && !p.Judging, p.Passed, p.Reached, p.Opened, driven.Crossed,
			p.Before.Best}
	}
	return s
}

func (d *Model) runState(s *State) {
	if d.Now.Real != nil {
		s.Log = d.Now.Real.Words(d.Units)
	}
	header := d.Now.Record.Header
	if len(header.Robots) > 0 {
		s.Title = header.Robots[0].Routine.Called()
	}
	if pose, ok := d.Standing(Thing{RobotThing, 0}); ok {
		s.Start = LuaPose(pose)
	}
	if pose, ok := d.Now.PoseOf(Thing{RobotThing, 0}, d.Time); ok {
		s.Robot = LuaPose(pose)
	}
	if f := d.Now.Setup.Field; f != nil {
		for side := range f.Sides {
			s.Totals = append(s.Totals, d.Now.Total(side, d.Time))
			s.Final = append(s.Final, d.Now.Total(side, d.Now.Index.End()))
		}
	}
	for _, mark := range d.Now.Marks {
		s.Events = append(s.Events, Moment{mark.T, string(d.Now.Record.Events[mark.Event].Kind), mark.Row})
	}
}
