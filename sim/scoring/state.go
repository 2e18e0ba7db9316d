// Package scoring counts a game's rules: a pure function of the field and of where everything is. Nothing in it knows
// one game; the rules are the field's.
//
// Who owns what: the simulator fills in pieces, goals and robots of a State and its Clock; OpenPhase, Watch, Fouls and
// ClosePhase keep the rest. A Scorer holds memory that it reuses, no state of the game: the same State gives the same
// sheet.
package scoring

import (
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// State is where everything is, and what has been decided so far.
type State struct {
	Pieces []Piece     // in the field's order
	Goals  []geom.Pose // in the field's order
	Robots []Robot

	Clock
	Homes   []geom.Vec // per robot, where its centre was when the running phase opened
	Over    bool       // the session has ended: what is judged at its end counts
	Closed  []Closed   // phases that have ended
	Fouls   []Foul
	Entered []Entry // per piece; none for a field whose rules do not ask
	Kept    []Kept  // of rules that are judged at a moment, what they came to
}

// Clock is how far the session is, in s since it began.
type Clock struct {
	Phase     int // of the field
	Now       float64
	PhaseEnds float64
	Ends      float64 // the session
}

// Piece is where a piece is and whose doing that is.
type Piece struct {
	At      geom.Pose
	In      record.Holder
	Scorer  int  // side whose robot placed or last touched it, -1: nobody's
	Crooked bool // in its goal, but not seated: not counted until it is
}

// Robot is where a robot stands.
type Robot struct {
	Side    int
	At      geom.Pose
	Outline geom.Polygon // corners in the robot's own frame, m
}

// Entry is since when a piece is where it is.
type Entry struct {
	In    record.Holder
	T     float64 // s of the session, -1 from its start
	Phase int     // of the field
}

// Kept is what a rule came to for a side at a moment that is past.
type Kept struct {
	Rule, Side    int
	Count, Points float64
}

// Closed is a phase that has ended, with the sides that were ahead: one, or several where it was drawn.
type Closed struct {
	Phase int
	Ahead []int
}

// Foul is a robot's breach of a rule in a phase.
type Foul struct{ Rule, Robot, Side, Phase int }
