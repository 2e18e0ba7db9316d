// Package fields is the field format: the floor, walls, zones, pieces, goals, phases and scoring of one game, read
// strictly from a TOML file. Nothing about a particular game is in Go: a rule is data.
package fields

import (
	"chalkfield/internal/geom"
	"chalkfield/internal/units"
)

// Field is a validated field in SI units. It is read only once loaded: a rehearsal never changes it, so many may share it.
type Field struct {
	Name, SHA256 string // file name and content hash, for records
	Title, About string

	Tile     float64      // m: what `tile` means in a routine
	Floor    geom.Polygon // corners counter-clockwise; may be concave
	Symmetry Symmetry
	Surface  Surface
	Sides    []Side
	Lines    []Line
	Zones    []Zone

	PieceKinds []PieceKind
	GoalKinds  []GoalKind
	Pieces     []Piece // in file order, symmetric copies right after their original
	Goals      []Goal

	Phases   []Phase
	Sessions []Session // the first is the default
	Rules    []Rule
	TieBreak []int // indices of rules, first decides
	Spread   Spread
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
	Grip            float64 // factor on every tyre's friction coefficient, 1 for the floor the tyre values were measured on
	WallFriction    float64
	WallRestitution float64
}

// Side is a team colour.
type Side struct {
	Name   string
	Colour string // "#rrggbb"
	Mark   string // a shape that tells sides apart without colour: "disc", "triangle", "square", "cross"
}

// Line is a marked line on the floor.
type Line struct {
	Name string
	A, B geom.Vec
}

// Zone is a marked region.
type Zone struct {
	Name  string
	Kind  string // several zones may share a kind ("camp"); rules name kinds
	Side  int    // -1: nobody's
	Shape geom.Polygon
}

// PieceKind is what pieces of a kind have in common. A piece is a disc or a regular polygon seen from above.
type PieceKind struct {
	Name          string
	Corners       int     // 0 for a disc
	Radius        float64 // m: of the disc, or to a corner
	Mass          float64 // kg
	FloorFriction float64 // Coulomb coefficient against the floor
	Friction      float64 // this surface's factor in contacts
	Restitution   float64
	Colour        string
	Mark          Drawing
}

// Drawing says what is drawn on a piece or a goal besides its outline. It tells kinds apart and changes nothing else.
type Drawing string

const (
	Plain   Drawing = ""
	Ring    Drawing = "ring"    // the outline again, smaller
	Star    Drawing = "star"    // three thin strokes that cross in the middle: it shows how the thing is turned
	Runners Drawing = "runners" // two thin lines along its heading, near its sides
)

// GoalKind is what goals of a kind have in common.
type GoalKind struct {
	Name          string
	Fixed         bool // a wall mount: no body that moves
	Shape         geom.Polygon
	Mass          float64 // kg, empty
	FloorFriction float64
	Friction      float64
	Restitution   float64
	Room          int     // how many pieces it takes
	Takes         []int   // indices of piece kinds
	Height        string  // the named lift height a scorer or claw must be at; "" for none
	Reach         float64 // m: how far from its centre a fixed goal is served
	Colour        string
	Mark          Drawing
}

// Piece is one placed piece.
type Piece struct {
	Kind  int
	Name  string // "core 7": kind and number, or the file's own
	At    geom.Pose
	Side  int // -1: neither's
	Goal  int // index of the goal it starts in, -1 for the floor
	Robot int // preload: index of the side whose first robot starts with it, -1 for none
}

// Goal is one placed goal.
type Goal struct {
	Kind int
	Name string
	At   geom.Pose
	Side int
}

// Phase is a stretch of a session.
type Phase struct {
	Name    string
	Seconds float64
	Control Control
}

// Control says who drives in a phase.
type Control string

const (
	Autonomous Control = "autonomous" // the routine's auto
	Driver     Control = "driver"     // the routine's driver, fed by a pad
)

// Session is what is played: some phases in order ("autonomous", "match", "solo run").
type Session struct {
	Name   string
	Phases []int
}

// RuleKind names what a rule counts.
type RuleKind string

const (
	PieceInGoal RuleKind = "piece in goal"
	PieceInZone RuleKind = "piece in zone"
	GoalInZone  RuleKind = "goal in zone"
	RobotInZone RuleKind = "robot in zone"
	PhaseWinner RuleKind = "phase winner"
	LineCrossed RuleKind = "line crossed" // a foul: the robot's outline on the far side in a phase
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

// Rule is one line of the score sheet. Which members matter depends on Kind; Validate refuses those that do not.
type Rule struct {
	Name     string
	Kind     RuleKind
	Points   float64 // per counted thing; for a foul what the other side gets
	Pieces   []int   // piece kinds counted; empty: all
	Goals    []int   // goal kinds
	ZoneKind string
	Line     int // index of Lines
	Credit   Credit
	Inside   Inside
	Times    float64 // goal in zone: what the pieces in the goal are multiplied by for the zone's side (1: no change)
	Phase    int     // phase winner, line crossed: index of the phase; -1: every phase
	Draw     string  // phase winner: "none", "each" or "half" when the phase is drawn
	Count    int     // at most this many are counted a side; 0: all
}

// Spread is the declared uncertainty of the field's side of a rehearsal: standard deviations, drawn normal and cut at
// 3 sigma. Zero: exact.
type Spread struct {
	PieceAt     units.Length // each piece, x and y
	GoalAt      units.Length
	GoalHeading units.Angle
	Grip        float64 // relative, one draw for the whole floor
	Friction    float64 // relative, floor friction of pieces and goals
}
