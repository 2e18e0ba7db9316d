package fields

import "chalkfield/internal/units"

// The structs below are the file as it is written; build.go turns them into a Field. A tag `need` marks a key that must be
// given, with an example; `default` is what a key left out stands for. DEVELOPERS.md describes every key.

type fieldFile struct {
	Title      string            `toml:"title" need:"'Core Haul'"`
	About      string            `toml:"about"`
	Tile       units.Length      `toml:"tile" need:"'600 mm'" min:"10 mm" max:"5 m"`
	Size       *[2]units.Length  `toml:"size" min:"500 mm" max:"50 m"`
	Floor      [][2]units.Length `toml:"floor" min:"-100 m" max:"100 m"`
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
	Grip            float64 `toml:"grip" default:"1" min:"0.05" max:"3"`
	WallFriction    float64 `toml:"wall_friction" default:"0.4" min:"0" max:"3"`
	WallRestitution float64 `toml:"wall_restitution" default:"0.3" min:"0" max:"1"`
}

type sideFile struct {
	Name   string `toml:"name" need:"'ochre'"`
	Colour string `toml:"colour" need:"'#d39a2f'"`
	Mark   string `toml:"mark"`
}

type lineFile struct {
	Name string          `toml:"name" need:"'centre line'"`
	From [2]units.Length `toml:"from" need:"['2.1 m', '0 m']" min:"-100 m" max:"100 m"`
	To   [2]units.Length `toml:"to" need:"['2.1 m', '3 m']" min:"-100 m" max:"100 m"`
}

type zoneFile struct {
	Name  string            `toml:"name" need:"'ochre camp'"`
	Kind  string            `toml:"kind" need:"'camp'"`
	Side  string            `toml:"side"`
	Box   *[2]pointFile     `toml:"box" min:"-100 m" max:"100 m"`
	Shape [][2]units.Length `toml:"shape" min:"-100 m" max:"100 m"`
	Copy  bool              `toml:"copy"`
}

type pointFile = [2]units.Length

// surfaceKeys are what every loose body's surface has.
type surfaceKeys struct {
	FloorFriction float64 `toml:"floor_friction" default:"0.3" min:"0.001" max:"3"`
	Friction      float64 `toml:"friction" default:"0.5" min:"0" max:"3"`
	Restitution   float64 `toml:"restitution" default:"0.2" min:"0" max:"1"`
}

type pieceKindFile struct {
	Name    string       `toml:"name" need:"'core'"`
	Corners int          `toml:"corners" min:"3" max:"12" zero:"a disc"`
	Across  units.Length `toml:"across" need:"'140 mm'" min:"10 mm" max:"2 m"`
	Mass    units.Mass   `toml:"mass" need:"'140 g'" min:"1 g" max:"100 kg"`
	Colour  string       `toml:"colour" default:"#cfd8dc"`
	Mark    string       `toml:"mark" default:"ring"`
	surfaceKeys
}

type goalKindFile struct {
	Name    string            `toml:"name" need:"'sled'"`
	Fixed   bool              `toml:"fixed"`
	Corners int               `toml:"corners" min:"3" max:"24"`
	Across  units.Length      `toml:"across" min:"10 mm" max:"5 m"`
	Size    *[2]units.Length  `toml:"size" min:"10 mm" max:"5 m"`
	Shape   [][2]units.Length `toml:"shape" min:"-5 m" max:"5 m"`
	Mass    units.Mass        `toml:"mass" min:"10 g" max:"200 kg"`
	Room    int               `toml:"room" need:"5" min:"1" max:"1000"`
	Takes   []string          `toml:"takes" need:"['core']"`
	Height  string            `toml:"height"`
	Reach   units.Length      `toml:"reach" min:"10 mm" max:"5 m"`
	Colour  string            `toml:"colour" default:"#b0a99f"`
	Mark    string            `toml:"mark" default:"none"`
	surfaceKeys
}

type pieceFile struct {
	Kind    string           `toml:"kind" need:"'core'"`
	Name    string           `toml:"name"`
	At      *[2]units.Length `toml:"at" min:"-100 m" max:"100 m"`
	Heading units.Angle      `toml:"heading" min:"-360 deg" max:"360 deg"`
	Side    string           `toml:"side"`
	In      string           `toml:"in"`
	Preload string           `toml:"preload"`
	Grid    *[2]int          `toml:"grid" min:"1" max:"1000"`
	Step    *[2]units.Length `toml:"step" min:"-50 m" max:"50 m"`
	Copy    bool             `toml:"copy"`
}

type goalFile struct {
	Kind    string          `toml:"kind" need:"'sled'"`
	Name    string          `toml:"name"`
	At      [2]units.Length `toml:"at" need:"['600 mm', '1.5 m']" min:"-100 m" max:"100 m"`
	Heading units.Angle     `toml:"heading" min:"-360 deg" max:"360 deg"`
	Side    string          `toml:"side"`
	Copy    bool            `toml:"copy"`
}

type phaseFile struct {
	Name    string     `toml:"name" need:"'autonomous'"`
	Length  units.Time `toml:"length" need:"'20 s'" min:"0.1 s" max:"3600 s"`
	Control string     `toml:"control" need:"'autonomous'"`
}

type sessionFile struct {
	Name   string   `toml:"name" need:"'match'"`
	Phases []string `toml:"phases" need:"['autonomous', 'driver']"`
}

type ruleFile struct {
	Name   string   `toml:"name" need:"'core in sled'"`
	Kind   string   `toml:"kind" need:"'piece in goal'"`
	Points float64  `toml:"points" min:"-1000000" max:"1000000"`
	Pieces []string `toml:"pieces"`
	Goals  []string `toml:"goals"`
	Zone   string   `toml:"zone"`
	Line   string   `toml:"line"`
	Credit string   `toml:"credit"`
	Inside string   `toml:"inside"`
	Times  float64  `toml:"times" default:"1" min:"0" max:"100"`
	Phase  string   `toml:"phase"`
	Draw   string   `toml:"draw"`
	Count  int      `toml:"count" min:"1" max:"1000" zero:"all"`
}

type spreadFile struct {
	PieceAt     units.Length `toml:"piece_at" min:"0 mm" max:"500 mm"`
	GoalAt      units.Length `toml:"goal_at" min:"0 mm" max:"500 mm"`
	GoalHeading units.Angle  `toml:"goal_heading" min:"0 deg" max:"180 deg"`
	Grip        float64      `toml:"grip" min:"0" max:"0.3"` // cut at 3 sigma: the draw stays positive
	Friction    float64      `toml:"friction" min:"0" max:"0.3"`
}
