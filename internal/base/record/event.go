package record

import "strconv"

// Event is something that happened at a time. Kind says which members it has; Sentence puts them into words.
type Event struct {
	T     float64 `json:"t"`
	Kind  Kind    `json:"kind"`
	Robot int     `json:"robot"`          // -1: no robot's
	Task  int     `json:"task,omitempty"` // the routine's task, 0 is the main one
	File  string  `json:"file,omitempty"` // routine file and line that stood at work
	Line  int     `json:"line,omitempty"`

	What   string `json:"what,omitempty"`   // the thing that it is about, as the kind's Traits.Names says
	Part   string `json:"part,omitempty"`   // the mechanism that did it, where that is not What
	Piece  string `json:"piece,omitempty"`  // a piece beside What
	Goal   string `json:"goal,omitempty"`   // a goal beside What
	Macro  string `json:"macro,omitempty"`  // the button whose macro the task is
	Reason Reason `json:"reason,omitempty"` // why a motion or task ended, a mechanism missed or a piece stuck

	Text    string `json:"text,omitempty"`    // words of people or for them, which nothing takes apart
	Instead string `json:"instead,omitempty"` // of a warning: what to write instead
	Trace   string `json:"trace,omitempty"`   // of an error: the calls that led there, innermost first, a line each

	At        *[2]float64 `json:"at,omitempty"`        // m
	Value     float64     `json:"value,omitempty"`     // see Kind
	Unit      string      `json:"unit,omitempty"`      // of Value and Overshoot, where the kind leaves it open
	Took      float64     `json:"took,omitempty"`      // end of a motion: s since it began
	Overshoot float64     `json:"overshoot,omitempty"` // end of a motion: how far past its end it went
	Settle    float64     `json:"settle,omitempty"`    // end of a motion: s from the end of its plan
	Limit     float64     `json:"limit,omitempty"`     // tipping, spilling: the Value that it bears
	Totals    Totals      `json:"totals,omitempty"`    // score: points per side, in order
}

// Reason is why something ended or failed.
type Reason string

const (
	Arrived   Reason = "arrived" // motions
	TimedOut  Reason = "timeout"
	GotStuck  Reason = "stalled"
	Cancelled Reason = "cancelled" // tasks too
	Held      Reason = "held"      // a rate, by the next command

	Finished Reason = "finished" // tasks: by itself
	Failed   Reason = "failed"   // by an error, its own or another task's
	Over     Reason = "over"     // with the phase or the rehearsal

	NoAir   Reason = "no air" // mechanisms
	NoRoom  Reason = "no room"
	Beside  Reason = "beside"
	Nothing Reason = "nothing"

	Lost Reason = "lost" // a foul's points, which else go to the other side
)

// Place is "mine.lua:14", "" where no line stood at work.
func (e *Event) Place() string {
	if e.Line == 0 {
		return ""
	}
	return e.File + ":" + strconv.Itoa(e.Line)
}
