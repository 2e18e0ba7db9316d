package record

import (
	"fmt"
	"slices"
	"strings"

	"chalkfield/internal/base/wording"
)

// EventName is a kind of event and, if given, the thing it is about: a full name, or a kind of pieces or goals.
type EventName struct {
	Kind Kind
	What string
}

func (n EventName) String() string { return strings.TrimSpace(string(n.Kind) + " " + n.What) }

// UnmarshalText reads "clamped middle sled", "pickup" or "motion end timeout".
func (n *EventName) UnmarshalText(name []byte) error {
	text := strings.Join(strings.Fields(string(name)), " ")
	var known []string
	for _, k := range Kinds() {
		if k.In&Check == 0 {
			continue
		}
		if what, is := strings.CutPrefix(text+" ", string(k.Kind)+" "); is {
			*n = EventName{k.Kind, strings.TrimSpace(what)}
			return nil
		}
		known = append(known, string(k.Kind))
	}
	word, _, _ := strings.Cut(text, " ")
	return fmt.Errorf("%q is no kind of event: %s, then what it is about: \"pickup core 7\"", word,
		wording.Instead(word, known))
}

// Vocabulary is the names that can be used of what the robot under test does in a rehearsal.
type Vocabulary struct {
	Rules  []string
	kinds  map[string]string // of a piece or goal, by its name
	pieces []string          // names and kinds
	goals  []string
	parts  []string
	robots []string
}

// AnyRobot stands for every other robot.
const AnyRobot = "robot"

// tested is the index of the robot under test.
const tested = 0

// Vocabulary of a record, and of all others of the same field, robots and session.
func (r *Record) Vocabulary() *Vocabulary {
	w := &Vocabulary{kinds: map[string]string{}, robots: []string{AnyRobot}}
	for _, b := range r.Header.Bodies {
		w.kinds[b.Name] = b.Kind
		list := &w.pieces
		if b.Goal {
			list = &w.goals
		}
		*list = append(*list, b.Name)
		if !slices.Contains(*list, b.Kind) {
			*list = append(*list, b.Kind)
		}
	}
	for _, p := range r.Header.Robots[tested].Parts {
		w.parts = append(w.parts, p.Name)
	}
	for _, other := range r.Header.Robots[tested+1:] {
		w.robots = append(w.robots, other.File.Title)
	}
	for _, row := range r.Sheet.Rows {
		w.Rules = append(w.Rules, row.Rule)
	}
	return w
}

// Of lists what events of a kind can be about; nil: anything.
func (w *Vocabulary) Of(kind Kind) []string {
	switch kind.Traits().Names {
	case ObstacleName:
		return append(append([]string{"wall"}, w.goals...), w.robots...)
	case PieceName:
		return w.pieces
	case GoalName:
		return w.goals
	case PartName:
		return w.parts
	case WayName:
		return tippingWords
	case RuleName:
		return w.Rules
	case MotionName:
		return motionWords
	}
	return nil
}

// Event reads the name of an event that a rehearsal can have.
func (w *Vocabulary) Event(text string) (n EventName, err error) {
	if err = n.UnmarshalText([]byte(text)); err != nil {
		return n, err
	}
	if list := w.Of(n.Kind); n.What != "" && list != nil && !slices.Contains(list, n.What) {
		err = fmt.Errorf("%q is no thing that can be %s: %s", n.What, n.Kind, wording.Instead(n.What, list))
	}
	return n, err
}

// motionWords are the motions, and how one can end.
var motionWords = []string{"ahead", "face", "visit", "dock", "trace", "rate", "arrived", "timeout", "stalled",
	"cancelled", "held"}

// tippingWords are the ways a robot can tip.
var tippingWords = []string{"forwards", "backwards", "left", "right"}

// Is reports whether an event is the named one, of the robot or of nobody: a person's, a goal's at a wall.
func (w *Vocabulary) Is(e *Event, n EventName) bool {
	switch {
	case e.Robot >= 0 && e.Robot != tested || e.Kind != n.Kind:
		return false
	case n.What == "" || e.What == n.What || w.kinds[e.What] == n.What:
		return true
	case e.Kind == MotionEnd:
		return string(e.Reason) == n.What
	case e.Kind == Note, e.Kind == Warning:
		return strings.Contains(e.Text, n.What)
	case e.Kind == Contact && n.What == AnyRobot:
		return e.What != "wall" && w.kinds[e.What] == ""
	}
	return false
}
