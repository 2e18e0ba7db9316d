package record

import (
	"cmp"
	"fmt"
	"strings"

	"chalkfield/internal/base/visible"
)

// Kind of an event. Its text is its word: what a check expects by it, and what lists call it.
type Kind string

const (
	PhaseStart  Kind = "phase"
	Contact     Kind = "contact" // a robot meets a wall, a goal or a robot; Value: closing speed, m/s
	Pickup      Kind = "pickup"
	Release     Kind = "release"
	Scored      Kind = "scored"
	Crooked     Kind = "crooked" // a piece landed crooked in a goal
	Seated      Kind = "seated"  // a crooked piece was pushed home by the next
	Jammed      Kind = "jammed"
	Missed      Kind = "missed" // a clamp, claw or scorer acted and got nothing
	Clamped     Kind = "clamped"
	Unclamped   Kind = "unclamped"
	Slipped     Kind = "slipped" // a clamp lost its goal under load
	Stalled     Kind = "stalled"
	Tips        Kind = "tips" // the wheels on one side bear nothing; What: the way it falls, Value: acceleration, m/s^2
	Foul        Kind = "foul"
	MotionStart Kind = "motion"
	MotionEnd   Kind = "motion end" // Text: why it ended, Value: what was left (m or rad)
	TaskStart   Kind = "task"
	TaskEnd     Kind = "task end"
	Note        Kind = "note"
	Print       Kind = "print"
	Warning     Kind = "warning" // what cannot work; What: the call, Text: why, and on a second line what to write instead
	Failure     Kind = "error"   // the routine failed; Text has the message with traceback
	ScoreChange Kind = "score"   // Text: the totals, Value: the first side's total
	PressedKey  Kind = "button"  // driver phase
)

// Traits are all that is said, shown and counted of a kind of event.
type Traits struct {
	Kind    Kind
	Names   Thing // what Event.What names
	Lane    Lane  // of a time strip
	Mark    Mark  // in pictures; without one pictures do not list the kind
	Weight  int   // in pictures: who stays when there is no room for all; higher is kept
	In      Reader
	say     func(Event) string // the event in words
	Try     string             // what a line of a routine tried that such an event ends
	Done    string             // how what plans are made of reads once it has come about: "core 2 picked up"
	Trouble string             // how trouble of the kind reads, %s for What
}

// Thing is a sort of things that events are about.
type Thing int

const (
	NoName       Thing = iota
	ObstacleName       // a wall, goal or robot
	PieceName
	GoalName
	PartName // a mechanism
	WayName  // a direction of falling
	RuleName
	MotionName
)

// Lane is the row of a time strip that marks events of a kind.
type Lane int

const (
	FieldLane Lane = iota // what happened on the field
	NoteLane              // what the routine said
	ScoreLane
	NoLane // the lanes of tasks and the band of phases show these
)

// Mark is how pictures mark an event: the name of a shape, filled or hollow.
type Mark struct {
	Shape  string
	Hollow bool
}

// Reader is a set of those who keep events.
type Reader int

const (
	Timeline Reader = 1 << iota // for people
	Check                       // may be expected
	Golden                      // compared with a golden record: what the robot achieved and what befell it
	Study                       // plans are made of them, or they tell of trouble

	everyone = Timeline | Check | Golden | Study
)

// kinds has a row for each kind, in the order in which pictures explain their marks.
var kinds = [...]Traits{
	// kind, what it names, lane, mark, weight, readers, sentence, try, done, trouble
	{Failure, NoName, NoteLane, solid("cross"), 9, Timeline | Golden | Study, colon, "", "", "routine fails with an error"},
	{Foul, RuleName, FieldLane, outlined("cross"), 8, everyone, colon, "", "", "foul: %s"},
	{Warning, NoName, NoteLane, outlined("cross"), 8, Timeline | Check, colon, "", "", ""},
	{Scored, GoalName, FieldLane, solid("star"), 7, everyone, plain, "", "scored", ""},
	{Clamped, GoalName, FieldLane, solid("square"), 6, everyone, plain, "grip", "clamped", ""},
	{Unclamped, GoalName, FieldLane, outlined("square"), 6, everyone, plain, "", "", ""},
	{Slipped, GoalName, FieldLane, outlined("square"), 6, everyone, plain, "", "", "%s slips out of its clamp"},
	{Missed, PartName, FieldLane, outlined("diamond"), 6, everyone, colon, "grip", "", "%s misses"},
	{Jammed, PartName, FieldLane, outlined("diamond"), 6, everyone, colon, "", "", "%s jams"},
	{Stalled, PartName, FieldLane, outlined("diamond"), 6, everyone, colon, "", "", "%s stalls"},
	{Tips, WayName, FieldLane, solid("triangle down"), 8, everyone, plain, "", "", "tips %s"},
	{Crooked, PieceName, FieldLane, outlined("diamond"), 5, everyone, plain, "", "", "%s lands crooked"},
	{Seated, PieceName, FieldLane, solid("diamond"), 5, everyone &^ Study, plain, "", "", ""},
	{Pickup, PieceName, FieldLane, solid("triangle"), 5, everyone, plain, "grip", "picked up", ""},
	{Release, PieceName, FieldLane, outlined("triangle down"), 5, everyone &^ Golden, plain, "", "", ""},
	{Note, NoName, NoteLane, outlined("disc"), 4, Timeline | Check, colon, "", "", ""},
	{PhaseStart, NoName, NoLane, solid("flag"), 4, Timeline, begins, "", "", ""},
	{PressedKey, NoName, FieldLane, outlined("keycap"), 3, Timeline, plain, "", "", ""},
	{Contact, ObstacleName, FieldLane, solid("plus"), 3, everyone &^ Golden, touches, "", "", "touches %s"},
	{MotionEnd, MotionName, NoLane, solid("disc"), 2, everyone &^ Golden, ends, "motion", "", "motion ends by %s"},
	{MotionStart, MotionName, NoLane, Mark{}, 0, Timeline, begins, "", "", ""},
	{TaskStart, NoName, NoLane, Mark{}, 0, 0, plain, "", "", ""},
	{TaskEnd, NoName, NoLane, Mark{}, 0, 0, plain, "", "", ""},
	{Print, NoName, NoteLane, Mark{}, 0, Timeline, colon, "", "", ""},
	{ScoreChange, NoName, ScoreLane, Mark{}, 0, Timeline, plain, "", "", ""},
}

func solid(shape string) Mark    { return Mark{shape, false} }
func outlined(shape string) Mark { return Mark{shape, true} }

// Kinds lists the traits of all kinds, in the order in which pictures explain their marks.
func Kinds() []Traits { return kinds[:] }

// Traits of the kind; one that is not known has its word, and is shown to people.
func (k Kind) Traits() Traits {
	for i := range kinds {
		if kinds[i].Kind == k {
			return kinds[i]
		}
	}
	return Traits{Kind: k, In: Timeline, say: plain}
}

// Is reports whether a reader keeps the kind.
func (k Kind) Is(in Reader) bool { return k.Traits().In&in != 0 }

// Mark of the kind; what pictures do not list has a small hollow disc.
func (k Kind) Mark() Mark {
	if mark := k.Traits().Mark; mark != (Mark{}) {
		return mark
	}
	return outlined("disc")
}

// Sentence is what happened, in words; a failure's has a traceback on further lines.
func (e Event) Sentence() string {
	words := strings.TrimRight(visible.Text(e.Kind.Traits().say(e)), "\n")
	return strings.ReplaceAll(words, "\t", "  ")
}

// detail is an event's text, or what it is about.
func detail(e Event) string { return cmp.Or(e.Text, e.What) }

func plain(e Event) string { return strings.TrimSpace(string(e.Kind) + " " + detail(e)) }

func colon(e Event) string { return strings.TrimSuffix(string(e.Kind)+": "+detail(e), ": ") }

func begins(e Event) string { return strings.TrimSpace(e.What + " " + e.Text) }

func ends(e Event) string { return strings.TrimPrefix(e.What+": "+e.Text, ": ") }

func touches(e Event) string { return fmt.Sprintf("touches %s at %.2f m/s", e.What, e.Value) }
