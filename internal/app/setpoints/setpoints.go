// Package setpoints turns a rehearsal's plan into a table that a real robot can follow: where it wants to be at each
// moment and how fast, the volts that the model gives for that, and what it tells its mechanisms.
//
// plan.go makes the table while a rehearsal runs. csv.go, json.go and header.go write it, read.go reads the first two;
// columns.go has the columns that all of them share. The followers are in assets/programs.
package setpoints

import (
	"reflect"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/scripting"
	"chalkfield/scripting/motion"
)

// Format and Version open every table. Version rises when an old follower would misread a new table.
const (
	Format  = "setpoints by Chalkfield"
	Version = 1
)

// Table is a plan. Numbers are in a routine's units, millimetres and degrees, but for the laws, which are in SI units;
// they are rounded, so that a table read back is the one that was written.
type Table struct {
	Head
	Rows []Row
}

// Head is all but the rows.
type Head struct {
	Made   Origin               `json:"made_from"`
	Side   string               `json:"side"`      // that the robot plays for; poses are in the field's frame
	Start  [3]float64           `json:"start"`     // mm, mm, deg
	Period float64              `json:"period_s"`  // s from row to row
	Steps  []Step               `json:"steps"`     // the first is for rows without a motion
	Open   []scripting.Decision `json:"not_in_it"` // what a table cannot carry
}

// Origin is what a table was made from.
type Origin struct {
	Simulator string          `json:"simulator"`
	Routine   string          `json:"routine"`
	Robot     string          `json:"robot"`
	Field     string          `json:"field"`
	Session   string          `json:"session"`
	Seed      uint64          `json:"seed"`
	Nominal   bool            `json:"nominal"`
	Params    []record.Number `json:"params,omitempty"`
	Program   bool            `json:"program,omitempty"` // the routine is one: where it decides is not known
	Files     []File          `json:"files"`
}

// File is one that it came from.
type File struct {
	Of     string `json:"of"` // "field", "robot", "routine", "program"
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
}

// Step is one motion of the routine.
type Step struct {
	Motion string `json:"motion"` // "" for the rows without one
	Words  string `json:"words"`  // as the routine asked for it
	At     string `json:"at"`     // "mine.lua:14"
	// m and rad: a follower goes on when it is so near the end; 0: the motion of the rehearsal ended elsewhere
	Within      float64    `json:"within"`
	WithinAngle float64    `json:"within_angle"`
	Law         motion.Law `json:"law"`
}

// Mode is what the drive base does in a row.
type Mode int

const (
	Rest   Mode = iota // 0 V
	Follow             // is where the row says
	Turn               // looks where the row says
)

// Row is one moment of the plan. It holds until the next.
type Row struct {
	Time                  float64 // s since the routine began
	X, Y, Heading         float64 // mm, deg; the heading counts on beyond a turn
	Speed, Turning        float64 // mm/s along the heading, deg/s
	LeftSpeed, RightSpeed float64 // mm/s of the sides' wheels
	LeftVolts, RightVolts float64 // V: feed-forward
	Mode                  Mode
	Step, Line, Waits     int // Line: of the routine; Waits: of the condition that it waits for, 0: for none
	Do                    []Command
}

// Command is what a mechanism is told, as programs say it: "intake.run" with 11.
type Command struct {
	Do   string
	With []any // numbers, or one word
}

// Seconds is how long the plan takes.
func (t *Table) Seconds() float64 { return t.Rows[len(t.Rows)-1].Time }

// Begins is when a step begins; false where it has no row.
func (t *Table) Begins(step int) (seconds float64, is bool) {
	for i := range t.Rows {
		if t.Rows[i].Step == step {
			return t.Rows[i].Time, true
		}
	}
	return 0, false
}

// Trace is the table as a record of one robot, by the clock of a rehearsal: its first row is when the routine begins.
func (t *Table) Trace(rec *record.Record) *record.Record {
	trace := &record.Record{Header: rec.Header}
	own := rec.Header.Robots[0]
	own.Routine = record.File{Name: t.Made.Routine, Title: "setpoints of " + t.Made.Routine}
	trace.Header.Robots, trace.Header.Bodies = []record.Robot{own}, nil
	begins := 0.0
	for i := range rec.Events {
		if e := &rec.Events[i]; e.Robot == 0 && e.Kind == record.TaskStart {
			begins = e.T
			break
		}
	}
	for i := range t.Rows {
		r := &t.Rows[i]
		ahead := geom.Unit(r.Heading * deg)
		speed := r.Speed * mm
		s := record.RobotSample{True: record.Pose{r.X * mm, r.Y * mm, r.Heading * deg},
			Velocity: [3]float64{speed * ahead.X, speed * ahead.Y, r.Turning * deg}}
		trace.Samples = append(trace.Samples, record.Sample{T: begins + r.Time, Robots: []record.RobotSample{s}})
	}
	return trace
}

// Same reports whether two tables came from the same files, drawn alike.
func (o Origin) Same(other Origin) bool {
	o.Simulator = other.Simulator
	return reflect.DeepEqual(o, other)
}
