package record

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"chalkfield/internal/base/units"
	"chalkfield/internal/base/wording"
)

// Kind of an event. Its text is its word: what a check expects by it, and what lists call it.
type Kind string

const (
	PhaseStart  Kind = "phase"   // Value: its length, s
	Contact     Kind = "contact" // a robot meets a wall, a goal or a robot; Value: closing speed, m/s
	Pickup      Kind = "pickup"
	Release     Kind = "release"
	Scored      Kind = "scored"
	Crooked     Kind = "crooked" // a piece landed crooked in a goal
	Seated      Kind = "seated"  // a crooked piece was pushed home by the next
	Jammed      Kind = "jammed"
	Missed      Kind = "missed" // a clamp, claw or scorer acted and got nothing; Text: by how much
	Clamped     Kind = "clamped"
	Unclamped   Kind = "unclamped"
	Slipped     Kind = "slipped" // a clamp lost its goal under load
	Stalled     Kind = "stalled"
	Spilled     Kind = "spilled"    // a goal that was hit let pieces out; Value: m/s of the blow, Text: by what
	Loaded      Kind = "loaded"     // a person put a piece down; Part: where
	Tips        Kind = "tips"       // wheels on one side bear nothing; What: the way, Text: if aslant, Value: m/s^2
	Foul        Kind = "foul"       // Value: points to the other side, or by Reason lost
	MotionStart Kind = "motion"     // Text: as the routine asked for it
	MotionEnd   Kind = "motion end" // Value: what was left, m or rad
	TaskStart   Kind = "task"
	TaskEnd     Kind = "task end"
	Note        Kind = "note"
	Result      Kind = "result" // a number that the routine gives; What: its name, Value and Unit
	Print       Kind = "print"
	Warning     Kind = "warning" // what cannot work; What: the call or part, Text: why
	Failure     Kind = "error"   // the routine failed; Text: the message
	ScoreChange Kind = "score"
	PressedKey  Kind = "button" // driver phase
)

// Traits are all that is said, shown and counted of a kind of event.
type Traits struct {
	Kind    Kind
	Names   Thing // what Event.What names
	Lane    Lane  // of a time strip
	Mark    Mark  // in pictures; without one pictures do not list the kind
	Weight  int   // in pictures: who stays when there is no room for all; higher is kept
	In      Reader
	say     teller // the event in words
	Try     string // what a line of a routine tried that such an event ends
	Done    string // how what plans are made of reads once it has come about: "core 2 picked up"
	Trouble string // how trouble of the kind reads, %s for What
}

// teller says an event in a person's units.
type teller func(Event, units.System) string

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
	{Failure, NoName, NoteLane, solid("cross"), 9, everyone &^ Check, fails, "", "", "routine fails with an error"},
	{Foul, RuleName, FieldLane, outlined("cross"), 8, everyone, fouls, "", "", "foul: %s"},
	{Warning, NoName, NoteLane, outlined("cross"), 8, Timeline | Check, warns, "", "", ""},
	{Scored, GoalName, FieldLane, solid("star"), 7, everyone, scored, "", "scored", ""},
	{Clamped, GoalName, FieldLane, solid("square"), 6, everyone, by, "grip", "clamped", ""},
	{Unclamped, GoalName, FieldLane, outlined("square"), 6, everyone, from, "", "", ""},
	{Slipped, GoalName, FieldLane, outlined("square"), 6, everyone, outOf, "", "", "%s slips out of its clamp"},
	{Missed, PartName, FieldLane, outlined("diamond"), 6, everyone, misses, "grip", "", "%s misses"},
	{Jammed, PartName, FieldLane, outlined("diamond"), 6, everyone, jams, "", "", "%s jams"},
	{Stalled, PartName, FieldLane, outlined("diamond"), 6, everyone, stalls, "", "", "%s stalls"},
	{Tips, WayName, FieldLane, solid("triangle down"), 8, everyone, tips, "", "", "tips %s"},
	{Spilled, GoalName, FieldLane, outlined("star"), 6, everyone, spills, "", "", "%s spills"},
	{Crooked, PieceName, FieldLane, outlined("diamond"), 5, everyone, crooked, "", "", "%s lands crooked"},
	{Seated, PieceName, FieldLane, solid("diamond"), 5, everyone &^ Study, within, "", "", ""},
	{Pickup, PieceName, FieldLane, solid("triangle"), 5, everyone, taken, "grip", "picked up", ""},
	{Loaded, PieceName, FieldLane, outlined("triangle"), 4, Timeline | Check, by, "", "", ""},
	{Release, PieceName, FieldLane, outlined("triangle down"), 5, everyone &^ Golden, from, "", "", ""},
	{Note, NoName, NoteLane, outlined("disc"), 4, Timeline | Check, spoken, "", "", ""},
	{Result, NoName, NoteLane, outlined("disc"), 4, Timeline | Check, gives, "", "", ""},
	{PhaseStart, NoName, NoLane, solid("flag"), 4, Timeline, begins, "", "", ""},
	{PressedKey, NoName, FieldLane, outlined("keycap"), 3, Timeline, plain, "", "", ""},
	{Contact, ObstacleName, FieldLane, solid("plus"), 3, everyone &^ Golden, touches, "", "", "touches %s"},
	{MotionEnd, MotionName, NoLane, solid("disc"), 2, everyone &^ Golden, ends, "motion", "", "motion ends by %s"},
	{MotionStart, MotionName, NoLane, Mark{}, 0, Timeline, moves, "", "", ""},
	{TaskStart, NoName, NoLane, Mark{}, 0, 0, plain, "", "", ""},
	{TaskEnd, NoName, NoLane, Mark{}, 0, 0, plain, "", "", ""},
	{Print, NoName, NoteLane, Mark{}, 0, Timeline, spoken, "", "", ""},
	{ScoreChange, NoName, ScoreLane, Mark{}, 0, Timeline, totals, "", "", ""},
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
func (e Event) Sentence(in units.System) string {
	words := strings.TrimRight(wording.Visible(e.Kind.Traits().say(e, in)), "\n")
	return strings.ReplaceAll(words, "\t", "  ")
}

// Brief is the first line of an event's sentence: an error's traceback stays in the record.
func (e Event) Brief(in units.System) string {
	line, _, _ := strings.Cut(e.Sentence(in), "\n")
	return line
}

// Told is an event in one line, with the robot's name where there are several.
func (h *Header) Told(e Event, in units.System) string {
	words := e.Brief(in)
	if len(h.Robots) > 1 && e.Robot >= 0 && e.Robot < len(h.Robots) {
		words = h.RobotName(e.Robot) + ": " + words
	}
	return words
}

// say is for kinds whose sentence is their word and some of an event's members.
func say(e Event, sep string, words ...string) string {
	rest := strings.Join(slices.DeleteFunc(words, func(w string) bool { return w == "" }), " ")
	if rest == "" {
		return string(e.Kind)
	}
	return string(e.Kind) + sep + rest
}

// after is words with a preposition, "" without any.
func after(preposition, words string) string {
	if words == "" {
		return ""
	}
	return preposition + " " + words
}

func plain(e Event, _ units.System) string  { return say(e, " ", e.What) }
func spoken(e Event, _ units.System) string { return say(e, ": ", e.Text) }
func by(e Event, _ units.System) string     { return say(e, " ", e.What, after("by", e.Part)) }
func taken(e Event, in units.System) string { return by(e, in) + after(" out of", e.Goal) }
func from(e Event, _ units.System) string   { return say(e, " ", e.What, after("from", e.Part)) }
func outOf(e Event, _ units.System) string  { return say(e, " ", e.What, after("out of", e.Part)) }
func within(e Event, _ units.System) string { return say(e, " ", e.What, after("in", e.Goal)) }
func crooked(e Event, in units.System) string {
	if e.Text == "" {
		return within(e, in)
	}
	return within(e, in) + ": " + in.Retold(e.Text)
}
func scored(e Event, _ units.System) string {
	return say(e, " ", cmp.Or(e.Piece, "a piece"), after("into", e.What))
}
func stalls(e Event, _ units.System) string { return say(e, ": ", e.What, "pushes and does not move") }
func begins(e Event, _ units.System) string { return fmt.Sprintf("%s begins, %g s", e.What, e.Value) }
func moves(e Event, in units.System) string {
	return strings.TrimSpace(e.What + " " + in.Retold(inUnits(e.Text, in)))
}

// place is a place as a motion tells it, in mm.
var place = regexp.MustCompile(`\((-?[0-9.]+), (-?[0-9.]+)\)`)

// inUnits tells a motion's places in a person's units; in metric ones they stand as in the routine.
func inUnits(text string, in units.System) string {
	if in == units.Metric {
		return text
	}
	return place.ReplaceAllStringFunc(text, func(found string) string {
		var at [2]float64
		for i, number := range place.FindStringSubmatch(found)[1:] {
			var err error
			if at[i], err = strconv.ParseFloat(number, 64); err != nil {
				return found
			}
		}
		return "(" + in.Figure(at[0]/1000, "mm", 0) + ", " + in.Text(at[1]/1000, "mm", 0) + ")"
	})
}
func gives(e Event, in units.System) string {
	return in.Retold(strings.TrimSpace(fmt.Sprintf("%s: %s %.6g %s", e.Kind, e.What, e.Value, e.Unit)))
}
func warns(e Event, in units.System) string {
	return say(e, ": ", in.Retold(e.Text)) + below(e.Instead)
}

// below is words on a line of their own.
func below(words string) string {
	if words == "" {
		return ""
	}
	return "\n" + words
}

func touches(e Event, in units.System) string {
	return in.Sprintf("touches %s at %.2f m/s", e.What, e.Value)
}

func fouls(e Event, _ units.System) string {
	what := "to the other side"
	if e.Reason == Lost {
		what = "lost"
	}
	return fmt.Sprintf("foul: %s, %.6g %s", e.What, e.Value, what)
}

func tips(e Event, in units.System) string {
	return in.Sprintf("tips %s at %.2f m/s^2: it bears %s", cmp.Or(e.Text, e.What), e.Value,
		in.Number("%.2f m/s^2", e.Limit))
}

func spills(e Event, in units.System) string {
	return in.Sprintf("spilled %s: hit at %.2f m/s, it bears %s; %s", e.What, e.Value, in.Number("%.2f m/s", e.Limit),
		in.Retold(e.Text))
}

func fails(e Event, _ units.System) string {
	return say(e, ": ", e.Message()) + strings.ReplaceAll(below(e.Trace), "\n", "\n  ")
}

// Message is an error's text with its place.
func (e Event) Message() string {
	if place := e.Place(); place != "" {
		return place + ": " + e.Text
	}
	return e.Text
}

func misses(e Event, in units.System) string {
	var words string
	switch {
	case e.Reason == NoAir:
		words = "too little air for " + e.What
	case e.Reason == NoRoom:
		words = e.What + " cannot give " + e.Piece + " back"
	case e.Reason == Beside:
		words = cmp.Or(e.Piece, e.What) + " beside " + e.Goal
	default:
		words = e.What + " on nothing"
	}
	if e.Text != "" {
		words += ": " + in.Retold(e.Text)
	}
	return say(e, ": ", words)
}

func jams(e Event, _ units.System) string {
	if e.Goal != "" {
		return say(e, ": ", e.Piece, "stuck at", e.Goal)
	}
	return say(e, ": ", e.Piece, "stuck with no room to leave")
}

// ends says how a motion ended, and what was left unless it arrived or had no end of its own.
func ends(e Event, in units.System) string {
	words := fmt.Sprintf("%s: %s after %.2f s", e.What, e.Reason, e.Took)
	switch {
	case e.Reason == Held:
		return fmt.Sprintf("%s: held for %.2f s", e.What, e.Took)
	case e.Reason == Arrived:
		return words
	case e.Unit == "rad":
		return fmt.Sprintf("%s, %.1f deg left", words, e.Value*180/math.Pi)
	}
	return in.Sprintf("%s, %.0f mm left", words, e.Value)
}

func totals(e Event, _ units.System) string { return say(e, " ", e.Totals.String()) }
