package fields

import "chalkfield/internal/units"

// The structs below are the file as it is written; build.go turns them into a Field. A tag `need` marks a key that must be
// given, with an example; `default` is what a key left out stands for. DEVELOPERS.md describes every key.

type fieldFile struct {
	Title      string            `toml:"title" need:"'Core Haul'"`
	About      string            `toml:"about"`
	Tile       units.Length      `toml:"tile" need:"'600 mm'"`
	Size       *[2]units.Length  `toml:"size"`
	Floor      [][2]units.Length `toml:"floor"`
	Symmetry   string            `toml:"symmetry" default:"none"`
	Surface    surfaceFile       `toml:"surface"`
	Sides      []sideFile        `toml:"sides" need:"[[sides]]"`
	Lines      []lineFile        `toml:"lines"`
	Zones      []zoneFile        `toml:"zones"`
	PieceKinds []pieceKindFile   `toml:"piece_kinds"`
	GoalKinds  []goalKindFile    `toml:"goal_kinds"`
	Pieces     []pieceFile       `toml:"pieces"`
	Goals      []goalFile        `toml:"goals"`
	Phases     []phaseFile       `toml:"phases" need:"[[phases]]"`
	Sessions   []sessionFile     `toml:"sessions" need:"[[sessions]]"`
	Rules      []ruleFile        `toml:"rules"`
	TieBreak   []string          `toml:"tie_break"`
	Spread     spreadFile        `toml:"spread"`
}

type surfaceFile struct {
	Grip            float64 `toml:"grip" default:"1"`
	WallFriction    float64 `toml:"wall_friction" default:"0.4"`
	WallRestitution float64 `toml:"wall_restitution" default:"0.3"`
}

type sideFile struct {
	Name   string `toml:"name" need:"'ochre'"`
	Colour string `toml:"colour" need:"'#d39a2f'"`
	Mark   string `toml:"mark"`
}

type lineFile struct {
	Name string          `toml:"name" need:"'centre line'"`
	From [2]units.Length `toml:"from" need:"['2.1 m', '0 m']"`
	To   [2]units.Length `toml:"to" need:"['2.1 m', '3 m']"`
}

type zoneFile struct {
	Name  string            `toml:"name" need:"'ochre camp'"`
	Kind  string            `toml:"kind" need:"'camp'"`
	Side  string            `toml:"side"`
	Box   *[2]pointFile     `toml:"box"`
	Shape [][2]units.Length `toml:"shape"`
	Copy  bool              `toml:"copy"`
}

type pointFile = [2]units.Length

// surfaceKeys are what every loose body's surface has.
type surfaceKeys struct {
	FloorFriction float64 `toml:"floor_friction" default:"0.3"`
	Friction      float64 `toml:"friction" default:"0.5"`
	Restitution   float64 `toml:"restitution" default:"0.2"`
}

type pieceKindFile struct {
	Name    string       `toml:"name" need:"'core'"`
	Corners int          `toml:"corners"`
	Across  units.Length `toml:"across" need:"'140 mm'"`
	Mass    units.Mass   `toml:"mass" need:"'140 g'"`
	Colour  string       `toml:"colour" default:"#cfd8dc"`
	surfaceKeys
}

type goalKindFile struct {
	Name    string            `toml:"name" need:"'sled'"`
	Fixed   bool              `toml:"fixed"`
	Corners int               `toml:"corners"`
	Across  units.Length      `toml:"across"`
	Size    *[2]units.Length  `toml:"size"`
	Shape   [][2]units.Length `toml:"shape"`
	Mass    units.Mass        `toml:"mass"`
	Room    int               `toml:"room" need:"5"`
	Takes   []string          `toml:"takes" need:"['core']"`
	Height  string            `toml:"height"`
	Reach   units.Length      `toml:"reach"`
	Colour  string            `toml:"colour" default:"#b0a99f"`
	surfaceKeys
}

type pieceFile struct {
	Kind    string           `toml:"kind" need:"'core'"`
	Name    string           `toml:"name"`
	At      *[2]units.Length `toml:"at"`
	Heading units.Angle      `toml:"heading"`
	Side    string           `toml:"side"`
	In      string           `toml:"in"`
	Preload string           `toml:"preload"`
	Grid    *[2]int          `toml:"grid"`
	Step    *[2]units.Length `toml:"step"`
	Copy    bool             `toml:"copy"`
}

type goalFile struct {
	Kind    string          `toml:"kind" need:"'sled'"`
	Name    string          `toml:"name"`
	At      [2]units.Length `toml:"at" need:"['600 mm', '1.5 m']"`
	Heading units.Angle     `toml:"heading"`
	Side    string          `toml:"side"`
	Copy    bool            `toml:"copy"`
}

type phaseFile struct {
	Name    string     `toml:"name" need:"'autonomous'"`
	Length  units.Time `toml:"length" need:"'20 s'"`
	Control string     `toml:"control" need:"'autonomous'"`
}

type sessionFile struct {
	Name   string   `toml:"name" need:"'match'"`
	Phases []string `toml:"phases" need:"['autonomous', 'driver']"`
}

type ruleFile struct {
	Name   string   `toml:"name" need:"'core in sled'"`
	Kind   string   `toml:"kind" need:"'piece in goal'"`
	Points float64  `toml:"points"`
	Pieces []string `toml:"pieces"`
	Goals  []string `toml:"goals"`
	Zone   string   `toml:"zone"`
	Line   string   `toml:"line"`
	Credit string   `toml:"credit"`
	Inside string   `toml:"inside"`
	Times  float64  `toml:"times" default:"1"`
	Phase  string   `toml:"phase"`
	Draw   string   `toml:"draw"`
	Count  int      `toml:"count"`
}

type spreadFile struct {
	PieceAt     units.Length `toml:"piece_at"`
	GoalAt      units.Length `toml:"goal_at"`
	GoalHeading units.Angle  `toml:"goal_heading"`
	Grip        float64      `toml:"grip"`
	Friction    float64      `toml:"friction"`
}
