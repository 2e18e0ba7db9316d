package check

import (
	"fmt"
	"strings"

	"chalkfield/internal/base/record"
	"chalkfield/internal/base/tomlfile"
	"chalkfield/internal/base/units"
)

// words are the names that expectations about a rehearsal can use.
type words struct {
	kinds  map[string]string // of a piece or goal, by its name
	pieces []string          // names and kinds
	goals  []string
	parts  []string
	robots []string
	rules  []string
	in     units.System // of what is told
}

// anyRobot stands for every other robot.
const anyRobot = "robot"

func wordsOf(r *record.Record) *words {
	w := &words{kinds: map[string]string{}, robots: []string{anyRobot}}
	for _, b := range r.Header.Bodies {
		w.kinds[b.Name] = b.Kind
		list := &w.pieces
		if b.Goal {
			list = &w.goals
		}
		*list = append(*list, b.Name)
		if !contains(*list, b.Kind) {
			*list = append(*list, b.Kind)
		}
	}
	for _, p := range r.Header.Robots[own].Parts {
		w.parts = append(w.parts, p.Name)
	}
	for _, other := range r.Header.Robots[own+1:] {
		w.robots = append(w.robots, other.File.Title)
	}
	for _, row := range r.Sheet.Rows {
		w.rules = append(w.rules, row.Rule)
	}
	return w
}

// own is the index of the robot under test.
const own = 0

func contains(list []string, word string) bool {
	for _, one := range list {
		if one == word {
			return true
		}
	}
	return false
}

// of lists what events of a kind can be about; nil: anything.
func (w *words) of(kind record.Kind) []string {
	switch kind.Traits().Names {
	case record.ObstacleName:
		return append(append([]string{"wall"}, w.goals...), w.robots...)
	case record.PieceName:
		return w.pieces
	case record.GoalName:
		return w.goals
	case record.PartName:
		return w.parts
	case record.WayName:
		return tippingWords
	case record.RuleName:
		return w.rules
	case record.MotionName:
		return motionWords
	}
	return nil
}

// motionWords are the motions, and how one can end.
var motionWords = []string{"ahead", "face", "visit", "dock", "trace", "rate", "arrived", "timeout", "stalled",
	"cancelled", "held"}

// tippingWords are the ways a robot can tip.
var tippingWords = []string{"forwards", "backwards", "left", "right"}

// is reports whether an event is the named one, of the robot or of nobody: a person's, a goal's at a wall.
func (w *words) is(e *record.Event, n EventName) bool {
	switch {
	case e.Robot >= 0 && e.Robot != own || e.Kind != n.Kind:
		return false
	case n.What == "" || e.What == n.What || w.kinds[e.What] == n.What:
		return true
	case e.Kind == record.MotionEnd:
		return string(e.Reason) == n.What
	case e.Kind == record.Note, e.Kind == record.Warning:
		return strings.Contains(e.Text, n.What)
	case e.Kind == record.Contact && n.What == anyRobot:
		return e.What != "wall" && w.kinds[e.What] == ""
	}
	return false
}

// meaning notes an error for each name in a case that this rehearsal cannot have: an expectation about it could never
// fail, or never hold.
func (w *words) meaning(at *tomlfile.Positions, path string, e *Expectations) {
	for _, table := range []struct {
		key  string
		list []tomlfile.Entry
	}{{"count_at_least", e.CountAtLeast}, {"points_at_least", e.PointsAtLeast}} {
		for _, a := range table.list {
			at.Index(path+"."+table.key+"."+a.Key, "rule of the field", a.Key, w.rules)
		}
	}
	for i, n := range e.Events {
		w.known(at, fmt.Sprintf("%s.events[%d].event", path, i), n.Name)
	}
	for i, n := range e.Order {
		w.known(at, fmt.Sprintf("%s.order[%d]", path, i), n)
	}
	for i, thing := range e.NeverTouches {
		at.Index(fmt.Sprintf("%s.never_touches[%d]", path, i), "wall, goal or robot here", thing, w.of(record.Contact))
	}
}

func (w *words) known(at *tomlfile.Positions, path string, n EventName) {
	if list := w.of(n.Kind); n.What != "" && list != nil {
		at.Index(path, "thing that can be "+string(n.Kind), n.What, list)
	}
}
