// Package fields is the field format: the floor, walls, zones, pieces, goals, phases and scoring of one game, read
// strictly from a TOML file. Nothing about a particular game is in Go: a rule is data.
package fields

import "chalkfield/internal/base/geom"

// Field is a validated field in SI units. It is read only once loaded: a rehearsal never changes it, so many may share
// it. It and the structs below are the tables of the file as tomlfile decodes them; what the file says in other words
// than the program needs stands in members of its own, which build.go reads.
type Field struct {
	Name, SHA256 string // file name and content hash, for records
	Text         string // content, for records

	Title string `toml:"title" need:"'Core Haul'"`
	About string `toml:"about"`

	Tile float64   `toml:"tile" unit:"m" need:"'600 mm'" min:"10 mm" max:"5 m"` // what `tile` means in a routine
	Size *geom.Vec `toml:"size" unit:"m" min:"500 mm" max:"50 m"`               // of a rectangular floor
	// corners counter-clockwise; may be concave
	Floor    geom.Polygon `toml:"floor" unit:"m" min:"-100 m" max:"100 m"`
	Symmetry Symmetry     `toml:"symmetry" default:"none" words:"none, half turn, left-right, up-down"`
	Surface  Surface      `toml:"surface"`
	Sides    []Side       `toml:"sides" need:"[[sides]]"`
	Lines    []Line       `toml:"lines"`
	Marks    []Mark       `toml:"marks"`
	Zones    []Zone       `toml:"zones"`
	Starts   []Start      `toml:"starts"` // in file order, symmetric copies right after their original
	Picture  *Picture     `toml:"picture"`

	PieceKinds []PieceKind `toml:"piece_kinds"`
	GoalKinds  []GoalKind  `toml:"goal_kinds"`
	Pieces     []Piece     `toml:"pieces"` // in file order, symmetric copies right after their original
	Goals      []Goal      `toml:"goals"`
	Loads      []Loader    `toml:"loads"`

	Phases   []Phase   `toml:"phases" need:"[[phases]]"`
	Sessions []Session `toml:"sessions" need:"[[sessions]]"` // the first is the default
	Rules    []Rule    `toml:"rules"`
	Counting []int     // the rules in the order in which they are counted: what reads counts after what it reads
	TieBreak []int     `toml:"tie_break" refer:"rule"` // first decides
	Spread   Spread    `toml:"spread"`
}

// Symmetry maps one side's half onto the other's.
type Symmetry string

const (
	NoSymmetry Symmetry = "none"
	HalfTurn   Symmetry = "half turn"  // 180 degrees about the centre of the floor's bounds
	MirrorX    Symmetry = "left-right" // x mirrored about the middle
	MirrorY    Symmetry = "up-down"    // y mirrored about the middle
)

// Surface is what the walls and the floor are made of. Pair values are products, as Chipmunk multiplies them: a file
// gives each surface its own value and says so in `show`.
type Surface struct {
	// factor on every tyre's friction coefficient, 1 for the floor the tyre values were measured on
	Grip            float64 `toml:"grip" default:"1" min:"0.05" max:"3"`
	WallFriction    float64 `toml:"wall_friction" default:"0.4" min:"0" max:"3"`
	WallRestitution float64 `toml:"wall_restitution" default:"0.3" min:"0" max:"1"`
}

// Side is a team colour.
type Side struct {
	Name   string `toml:"name" need:"'ochre'"`
	Colour string `toml:"colour" need:"'#d39a2f'"`
	Mark   string `toml:"mark" words:"disc, square, triangle, cross"` // a shape that tells sides apart without colour
}

// Line is a marked line on the floor.
type Line struct {
	Name string   `toml:"name" need:"'centre line'"`
	A    geom.Vec `toml:"from" unit:"m" need:"['2.1 m', '0 m']" min:"-100 m" max:"100 m"`
	B    geom.Vec `toml:"to" unit:"m" need:"['2.1 m', '3 m']" min:"-100 m" max:"100 m"`
	// of its tape, which sensors see: 2 inches are usual (common practice, no source)
	Width float64 `toml:"width" unit:"m" default:"50 mm" min:"1 mm" max:"1 m"`
}

// Outline is the line as it lies on the floor, counter-clockwise, its ends cut square.
func (l Line) Outline() geom.Polygon {
	along := geom.Direction(geom.Vec{X: l.B.X - l.A.X, Y: l.B.Y - l.A.Y})
	half := geom.Scale(l.Width/2, geom.Vec{X: -along.Y, Y: along.X})
	return geom.Polygon{{X: l.A.X - half.X, Y: l.A.Y - half.Y}, {X: l.B.X - half.X, Y: l.B.Y - half.Y},
		{X: l.B.X + half.X, Y: l.B.Y + half.Y}, {X: l.A.X + half.X, Y: l.A.Y + half.Y}}
}

// Mark is a sign that sensors know by its name.
type Mark struct {
	Name string    `toml:"name" need:"'north post'"`
	At   geom.Pose `toml:"at,heading" unit:"m" need:"['1.8 m', '2.4 m']" min:"-100 m" max:"100 m"`
	Flat bool      // the file gives a heading: it is seen only from where it faces
	High bool      `toml:"high"` // above robots and goals: walls alone hide it
	Copy bool      `toml:"copy"`
}

// Zone is a marked region.
type Zone struct {
	Name  string       `toml:"name" need:"'ochre camp'"`
	Kind  string       `toml:"kind" need:"'camp'"` // several zones may share a kind; rules name kinds
	Side  int          `toml:"side" refer:"side"`  // -1: nobody's
	Box   *[2]geom.Vec `toml:"box" unit:"m" min:"-100 m" max:"100 m"`
	Shape geom.Polygon `toml:"shape" unit:"m" min:"-100 m" max:"100 m"`
	Copy  bool         `toml:"copy"` // by the field's symmetry
}

// Start is a place where a robot may begin: where one does whose routine gives no start of its own.
type Start struct {
	Name string    `toml:"name"`              // "ochre start 1": side and number, or the file's own
	Side int       `toml:"side" refer:"side"` // -1: either's
	At   geom.Pose `toml:"at,heading" unit:"m" need:"['600 mm', '450 mm']" min:"-100 m" max:"100 m"`
	Copy bool      `toml:"copy"`
}

// PieceKind is what pieces of a kind have in common. A piece is a disc or a regular polygon seen from above.
type PieceKind struct {
	Name    string  `toml:"name" need:"'core'"`
	Corners int     `toml:"corners" min:"3" max:"12" zero:"a disc"`
	Across  float64 `toml:"across" unit:"m" need:"'140 mm'" min:"10 mm" max:"2 m"`
	Radius  float64 // m: of the disc, or to a corner
	Mass    float64 `toml:"mass" unit:"kg" need:"'140 g'" min:"1 g" max:"100 kg"`
	// Coulomb coefficient against the floor
	FloorFriction float64 `toml:"floor_friction" default:"0.3" min:"0.001" max:"3"`
	Friction      float64 `toml:"friction" default:"0.5" min:"0" max:"3"` // this surface's factor in contacts
	Restitution   float64 `toml:"restitution" default:"0.2" min:"0" max:"1"`
	Colour        string  `toml:"colour" default:"#cfd8dc"`
	Mark          Drawing `toml:"mark" default:"ring" words:"none, ring, star, runners"`
}

// Drawing says what is drawn on a piece or a goal besides its outline. It tells kinds apart and changes nothing else.
type Drawing string

const (
	Plain   Drawing = "none"
	Ring    Drawing = "ring"    // the outline again, smaller
	Star    Drawing = "star"    // three thin strokes that cross in the middle: it shows how the thing is turned
	Runners Drawing = "runners" // two thin lines along its heading, near its sides
)

// GoalKind is what goals of a kind have in common.
type GoalKind struct {
	Name    string    `toml:"name" need:"'sled'"`
	Fixed   bool      `toml:"fixed"` // a wall mount: no body that moves
	Corners int       `toml:"corners" min:"3" max:"24"`
	Across  float64   `toml:"across" unit:"m" min:"10 mm" max:"5 m"`
	Size    *geom.Vec `toml:"size" unit:"m" min:"10 mm" max:"5 m"`
	// from corners and across, or size, if not given
	Shape         geom.Polygon `toml:"shape" unit:"m" min:"-5 m" max:"5 m"`
	Mass          float64      `toml:"mass" unit:"kg" min:"10 g" max:"200 kg"` // empty
	FloorFriction float64      `toml:"floor_friction" default:"0.3" min:"0.001" max:"3"`
	Friction      float64      `toml:"friction" default:"0.5" min:"0" max:"3"`
	Restitution   float64      `toml:"restitution" default:"0.2" min:"0" max:"1"`
	Room          int          `toml:"room" need:"5" min:"1" max:"1000"` // how many pieces it takes
	Takes         []int        `toml:"takes" refer:"piece kind" need:"['core']"`
	// the named lift height a scorer or claw must be at; "" for none
	Height string `toml:"height"`
	Open   bool   `toml:"open"` // an intake or a claw takes the last piece out again
	// of a pushable goal: hit faster, it spills what is in it
	Spills float64 `toml:"spills_at" unit:"m/s" min:"0.05 m/s" max:"20 m/s" zero:"never"`
	Around bool    `toml:"around"` // a fixed goal that is served from all around, not from where it faces alone
	// how far from its centre a fixed goal is served
	Reach  float64 `toml:"reach" unit:"m" default:"150 mm" min:"10 mm" max:"5 m"`
	Colour string  `toml:"colour" default:"#b0a99f"`
	Mark   Drawing `toml:"mark" default:"none" words:"none, ring, star, runners"`
}

// Piece is one placed piece; in the file also a grid of them.
type Piece struct {
	Kind  int       `toml:"kind" refer:"piece kind" need:"'core'"`
	Name  string    `toml:"name"` // "core 7": kind and number, or the file's own
	At    geom.Pose `toml:"at,heading" unit:"m" min:"-100 m" max:"100 m"`
	Side  int       `toml:"side" refer:"side"`    // -1: neither's
	Goal  int       `toml:"in" refer:"goal"`      // that it starts in, -1 for the floor
	Robot int       `toml:"preload" refer:"side"` // the side whose first robot starts with it, -1 for none
	Grid  *[2]int   `toml:"grid" min:"1" max:"1000"`
	Step  *geom.Vec `toml:"step" unit:"m" min:"-50 m" max:"50 m"`
	Copy  bool      `toml:"copy"`
}

// Goal is one placed goal.
type Goal struct {
	Kind int       `toml:"kind" refer:"goal kind" need:"'sled'"`
	Name string    `toml:"name"`
	At   geom.Pose `toml:"at,heading" unit:"m" need:"['600 mm', '1.5 m']" min:"-100 m" max:"100 m"`
	Side int       `toml:"side" refer:"side"`
	Copy bool      `toml:"copy"`
}

// Loader is a place where a person puts pieces onto the floor, one after another.
type Loader struct {
	Name  string    `toml:"name"`
	At    geom.Pose `toml:"at,heading" unit:"m" need:"['100 mm', '1.2 m']" min:"-100 m" max:"100 m"`
	Side  int       `toml:"side" refer:"side"` // whose person it is; -1: nobody's
	Kind  int       `toml:"kind" refer:"piece kind" need:"'core'"`
	Owner int       `toml:"piece_side" refer:"side"` // whose pieces they are; -1: nobody's
	Count int       `toml:"count" need:"6" min:"1" max:"1000"`
	First int       // of its pieces, which are the field's from there on
	// from when the person may, or has put the last one down, to the next
	Takes  float64 `toml:"takes" unit:"s" need:"'2 s'" min:"0.1 s" max:"600 s"`
	Speed  float64 `toml:"speed" unit:"m/s" min:"0 m/s" max:"5 m/s"` // with which a piece comes, along the heading
	Phases []int   `toml:"phases" refer:"phase"`                     // in which people load; empty: all
	Hands  int     `toml:"hands" refer:"zone"`                       // where their hands are; -1: outside the field
	Copy   bool    `toml:"copy"`
}

// Phase is a stretch of a session.
type Phase struct {
	Name    string  `toml:"name" need:"'autonomous'"`
	Seconds float64 `toml:"length" unit:"s" need:"'20 s'" min:"0.1 s" max:"3600 s"`
	Control Control `toml:"control" need:"'autonomous'" words:"autonomous, driver"`
}

// Control says who drives in a phase.
type Control string

const (
	Autonomous Control = "autonomous" // the routine's auto
	Driver     Control = "driver"     // the routine's driver, fed by a pad
)

// Session is what is played: some phases in order ("autonomous", "match", "solo run").
type Session struct {
	Name   string `toml:"name" need:"'match'"`
	Phases []int  `toml:"phases" refer:"phase" need:"['autonomous', 'driver']"`
}

// RuleKind names what a rule counts.
type RuleKind string

const (
	PieceInGoal   RuleKind = "piece in goal"
	PieceScoredBy RuleKind = "piece scored by" // as piece in goal, but put there in a phase or before a time
	SetInGoal     RuleKind = "set"             // complete sets of pieces in one goal
	GoalOwned     RuleKind = "owner"           // goals that belong to the side with more pieces in them, or the last
	GoalLine      RuleKind = "line of goals"   // rows of goals that all belong to one side
	PieceInZone   RuleKind = "piece in zone"
	PieceHeld     RuleKind = "held"
	GoalInZone    RuleKind = "goal in zone"
	RobotInZone   RuleKind = "robot in zone"
	RobotTouches  RuleKind = "robot touches"
	PhaseWinner   RuleKind = "phase winner"
	LineCrossed   RuleKind = "line crossed" // a foul: the robot's outline on the far side in a phase
	Touched       RuleKind = "contact"      // a foul: a robot touches what is another side's
	HeldTooMany   RuleKind = "limit"        // a foul: a robot holds too many pieces
	ByFormula     RuleKind = "formula"      // worked out from what other rules count and where the robots are
)

// Judged says when what a rule counts is taken.
type Judged string

const (
	Always     Judged = "always"    // as things are, at any moment
	AtPhaseEnd Judged = "phase end" // as things are when a phase ends; what several give adds up
	AtEnd      Judged = "end"       // as things are when the session ends
	Once       Judged = "once"      // as things are when a formula's condition first holds
)

// Credit says whose points a counted thing is.
type Credit string

const (
	ByScorer Credit = "scorer" // the side whose robot placed or last touched it
	ByPiece  Credit = "piece"  // the side the piece belongs to
	ByGoal   Credit = "goal"   // the side the goal belongs to
	ByZone   Credit = "zone"   // the side the zone belongs to
)

// Inside says how much of a thing must lie in a zone.
type Inside string

const (
	Centre Inside = "centre"
	All    Inside = "all"
	Any    Inside = "any"
)

// Rule is one line of the score sheet. Which members matter depends on Kind; the file gives no others.
type Rule struct {
	Name string   `toml:"name" need:"'core in sled'"`
	Kind RuleKind `toml:"kind" need:"'piece in goal'"`
	// per counted thing; for a foul what the other side gets
	Points float64 `toml:"points" min:"-1000000" max:"1000000"`
	Worth  Formula `toml:"points"` // formula: the points, where they are not a plain number
	When   Formula `toml:"when"`   // formula: the condition; without one it holds

	Pieces   []int      `toml:"pieces" refer:"piece kind"` // counted; empty: all
	Goals    []int      `toml:"goals" refer:"goal kind"`
	ZoneKind string     `toml:"zone"`
	Line     int        `toml:"line" refer:"line"`
	Credit   Credit     `toml:"credit"`
	Inside   Inside     `toml:"inside" words:"centre, all, any"`
	With     string     `toml:"with" words:"wall, goal, zone, robot, hands"`              // robot touches, contact
	By       string     `toml:"by" default:"more" words:"more, last"`                     // owner, line of goals
	Set      []int      `toml:"set" refer:"piece kind"`                                   // set: one of each
	Each     int        `toml:"each" default:"1" min:"1" max:"1000"`                      // set: or so many of each
	Run      int        `toml:"run" min:"2" max:"1000" zero:"no run"`                     // set: a run of a side's pieces
	Most     int        `toml:"most" min:"0" max:"1000"`                                  // limit
	Before   float64    `toml:"before" unit:"s" min:"0.1 s" max:"3600 s" zero:"any time"` // piece scored by this time
	Side     int        `toml:"side" refer:"side"`                                        // line crossed; -1: every side's
	Lost     bool       `toml:"penalty" words:"given, lost"`                              // foul: the points go to nobody
	Judged   Judged     `toml:"judged" default:"always" words:"always, phase end, end, once"`
	Rows     [][]string `toml:"rows"` // line of goals: the goals' names
	Lines    [][]int    // the same by their places

	// goal in zone: what the pieces in the goal are multiplied by for the zone's side
	Times float64 `toml:"times" default:"1" min:"0" max:"100"`
	Phase int     `toml:"phase" refer:"phase"`                 // which the rule is about; -1: every phase
	Draw  string  `toml:"draw" words:"none, each, half"`       // phase winner: what a drawn phase gives
	Count int     `toml:"count" min:"1" max:"1000" zero:"all"` // at most this many are counted a side
}

// Spread is the declared uncertainty of the field's side of a rehearsal: standard deviations, drawn normal and cut at
// 3 sigma, so that a relative draw stays positive. Zero: exact.
type Spread struct {
	PieceAt     float64 `toml:"piece_at" unit:"m" min:"0 mm" max:"500 mm"` // each piece, x and y
	GoalAt      float64 `toml:"goal_at" unit:"m" min:"0 mm" max:"500 mm"`
	GoalHeading float64 `toml:"goal_heading" unit:"rad" min:"0 deg" max:"180 deg"`
	Grip        float64 `toml:"grip" min:"0" max:"0.3"`      // relative, one draw for the whole floor
	Friction    float64 `toml:"friction" min:"0" max:"0.3"`  // relative, floor friction of pieces and goals
	LoadTime    float64 `toml:"load_time" min:"0" max:"0.3"` // relative, how long people take, one draw a piece
}
