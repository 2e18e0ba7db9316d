// Package record is what a rehearsal leaves behind: a header, 50 Hz samples, events, the score sheet and a fingerprint.
// Everything downstream (score sheet, pictures, window, statistics, checks) reads a Record and nothing else.
//
// Units: SI and radians. Numbers are rounded when sampled (see Round), so that a record read back from its file equals
// the one in memory.
package record

import (
	"cmp"
	"fmt"
	"math"
	"strconv"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/units"
)

// Format and Version open every record file. Version rises when a reader of the old format would misread the new one.
const (
	Format  = "chalkfield record"
	Version = 2
)

// SamplePeriod is the time between two samples, in seconds (50 Hz).
const SamplePeriod = 0.02

// Record is one rehearsal.
type Record struct {
	Header  Header
	Samples []Sample
	Events  []Event
	Sheet   Sheet
	Sources []Source // the files that it was made from

	Ways [][]Pose // per robot, where it was at each sample, when only the last sample was kept; never written
}

// Header says what was rehearsed.
type Header struct {
	Format  string   `json:"format"`
	Version int      `json:"version"`
	Program string   `json:"program"` // Chalkfield's own version
	Units   string   `json:"units"`
	Field   File     `json:"field"`
	Session string   `json:"session"`
	Phases  []Phase  `json:"phases"`
	Robots  []Robot  `json:"robots"`
	Bodies  []Body   `json:"bodies"` // pieces, then goals, in field order: a body's id is its index
	Seed    uint64   `json:"seed"`
	Nominal bool     `json:"nominal"` // nothing was drawn from the spread
	Drawn   []Number `json:"drawn,omitempty"`
	Params  []Number `json:"params,omitempty"` // what the routines leave open, with the values they got
}

// File names an input and fixes its content.
type File struct {
	Name   string `json:"name"`
	Title  string `json:"title,omitempty"`
	SHA256 string `json:"sha256"`
}

// Called is the file's title, or else its name.
func (f File) Called() string { return cmp.Or(f.Title, f.Name) }

// Source is the text of a file.
type Source struct {
	Of   string `json:"of"`   // SHA-256 of the header's file that it belongs to
	Name string `json:"name"` // of a routine's module its path from the routine's folder
	Text string `json:"text"`
}

// Texts are those of a file's sources, by name: a routine may have several. Text is the file's own.
func (r *Record) Texts(of File) map[string]string {
	texts := map[string]string{}
	for _, s := range r.Sources {
		if s.Of == of.SHA256 {
			texts[s.Name] = s.Text
		}
	}
	return texts
}

func (r *Record) Text(of File) string { return r.Texts(of)[of.Name] }

// Phase is a stretch of the session with its own rules.
type Phase struct {
	Name    string  `json:"name"`
	Start   float64 `json:"start"`   // s
	Seconds float64 `json:"seconds"` // planned length, s
}

// Robot is one entrant.
type Robot struct {
	File    File         `json:"file"`
	Routine File         `json:"routine"`
	Outside bool         `json:"outside,omitempty"` // a program: its name is the command, its text is not here
	Side    int          `json:"side"`              // index of the field's sides
	Start   Pose         `json:"start"`
	Outline [][2]float64 `json:"outline"` // corners in the robot's frame, m
	Parts   []Part       `json:"parts"`   // mechanisms, in the order of PartSample
	Sensors []string     `json:"sensors"` // names, in the order of RobotSample.Sensors: see robot.Columns for those behind
	// of its routine's own signals, in the order of their first values
	Signals []Signal `json:"signals,omitempty"`
}

// Signal is a number over time that a routine records.
type Signal struct {
	Name string `json:"name"`
	Unit string `json:"unit,omitempty"` // as the routine says it; "" for a plain number
}

// RobotName is a robot's title, with its number where another has the same.
func (h *Header) RobotName(i int) string {
	return Numbered(i, len(h.Robots), func(k int) string { return h.Robots[k].File.Called() })
}

// Numbered is the name of one of several, with its number where another has the same.
func Numbered(i, of int, name func(i int) string) string {
	for k := range of {
		if k != i && name(k) == name(i) {
			return fmt.Sprintf("%s %d", name(i), i+1)
		}
	}
	return name(i)
}

// Part is a mechanism of a robot.
type Part struct {
	Name string `json:"name"`
	Kind string `json:"kind"` // intake, conveyor, clamp, scorer, claw, lift, gate
}

// Body is a piece or a goal.
type Body struct {
	Kind string `json:"kind"` // the field file's name of the kind
	Goal bool   `json:"goal"`
	Name string `json:"name"`
	Side int    `json:"side"` // -1: neither side's
}

// Number is a named value.
type Number struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit,omitempty"` // SI; "" for a plain number
	Word  string  `json:"word,omitempty"` // what the value stands for, where people do not write it as a number
}

// Words are the value as people write it.
func (n Number) Words() string { return cmp.Or(n.Word, strconv.FormatFloat(n.Value, 'g', 6, 64)) }

// Pose is x (m), y (m) and heading (rad).
type Pose [3]float64

// FromGeom and Geom convert; FromGeom rounds.
func FromGeom(p geom.Pose) Pose { return Pose{Round(p.X), Round(p.Y), Round(p.Heading)} }
func (p Pose) Geom() geom.Pose  { return geom.Pose{X: p[0], Y: p[1], Heading: p[2]} }

// In is the pose in a person's units, in metric ones the way a routine writes it, without a minus before zero: "(600,
// 450, 90.0 deg)", "(23.62, 17.72 in, 90.0 deg)".
func (p Pose) In(in units.System) string {
	turned := geom.WrapAngle(p[2]) * 180 / math.Pi
	unit := "" // of routines
	if in != units.Metric {
		unit = " " + in.Name("mm")
	}
	return fmt.Sprintf("(%s, %s%s, %.1f deg)", in.Figure(p[0], "mm", 0), in.Figure(p[1], "mm", 0), unit,
		math.Round(10*turned)/10+0)
}

// Sample is the state at one moment.
type Sample struct {
	T      float64 // s from the start of the session
	Robots []RobotSample
	Bodies []BodySample // only bodies whose state differs from the sample before; the first sample has all
}

// RobotSample is one robot at one moment. Pairs are left, right.
type RobotSample struct {
	True     Pose
	Velocity [3]float64  // field frame, m/s, m/s, rad/s
	Belief   Pose        // what its odometry says
	Want     [2]float64  // the motion's wanted speed (m/s) and turning rate (rad/s)
	Wheels   [2]float64  // surface speed of the trains' wheels, m/s
	Volts    [2]float64  // at the drive motors
	Asked    *[2]float64 // what their controller was told, V; nil: it does at once as it is told
	Amps     [2]float64  // a train's motors together
	Battery  float64     // terminal voltage
	Slip     [2]float64  // greatest slip of a wheel along and across, m/s
	Doing    Activity    // what the routine's main task spends its time on
	Lines    []int       // per task in order of creation: the line it stands at, 0 when ended
	Parts    []PartSample
	Air      float64 // reservoir, Pa gauge
	Sensors  []float64
	News     *News // nil: none
}

// News is what a sample tells only if it is other than at the sample before.
type News struct {
	Plan [][2]float64 // the planned curve, m
	Said []Said       // the routine's own signals
}

// Told is what a sample has of it, nil for nothing.
func (n News) Told() *News {
	if len(n.Plan)+len(n.Said) == 0 {
		return nil
	}
	told := n // only what is told takes memory
	return &told
}

// New is what the sample has of news.
func (r *RobotSample) New() News {
	if r.News == nil {
		return News{}
	}
	return *r.News
}

// Said is the value of a routine's own signal.
type Said struct {
	Signal int // index of Robot.Signals
	Value  float64
}

// PartSample is one mechanism at one moment.
type PartSample struct {
	Volts float64
	Value float64 // lift: angle (rad) or height (m); conveyor, claw: pieces held; clamp: 1 shut; gate: 1 open;
	// intake: roller speed, m/s
	Body int  // the body held (clamp: goal; claw: piece), -1 none
	Out  bool // claw: deployed; gate: all the way open
}

// BodySample is one piece or goal at one moment.
type BodySample struct {
	ID   int
	Pose Pose
	In   Holder
}

// Holder says what holds a piece: 0 the floor, k > 0 robot k-1, k < 0 the goal with body id -k-1, k >= 1000000 the
// person of the field's load k-1000000.
type Holder int

// OnFloor, HeldByRobot, InGoal and WithPerson make and read a Holder.
const OnFloor Holder = 0

const people Holder = 1_000_000

func HeldByRobot(robot int) Holder { return Holder(robot + 1) }
func InGoal(body int) Holder       { return Holder(-body - 1) }
func WithPerson(load int) Holder   { return people + Holder(load) }

// Robot is the index of the robot that holds the piece, or -1.
func (h Holder) Robot() int {
	if h >= people {
		return -1
	}
	return max(int(h)-1, -1)
}

// Person is the index of the load whose person holds the piece, or -1.
func (h Holder) Person() int { return max(int(h-people), -1) }

// Goal is the body id of the goal that holds the piece, or -1.
func (h Holder) Goal() int { return max(-int(h)-1, -1) }

// Activity is what a routine's main task spends its time on.
type Activity string

const (
	Moving    Activity = "moving"    // a drive motion that changes place
	Turning   Activity = "turning"   // a drive motion that only turns
	Waiting   Activity = "waiting"   // wait or await
	Mechanism Activity = "mechanism" // blocked until a mechanism is where it should be
	Idle      Activity = "idle"      // the routine has ended (or there is none)
)

// Round gives six decimals: a micrometre, a microradian. It keeps records short and equal to what is read back. Zero
// has no sign: whether a product ends as 0 or -0 is nothing that happened.
func Round(x float64) float64 {
	if x = math.Round(x * 1e6); x == 0 {
		return 0
	}
	return x / 1e6
}
