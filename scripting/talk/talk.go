// Package talk has the messages between the simulator and a program outside that commands the robot in place of a
// routine: one JSON object a line, in lockstep. The simulator speaks first; Hello and Tick are answered, Begin and End
// are not.
//
//	hello    -> ready
//	begin
//	tick 1   -> commands to 1
//	tick 2   -> commands to 2
//	end
//
// Millimetres, degrees, seconds, volts and kPa, as in Lua, in the coordinates of the side that the program is written
// for. The JSON Schema of every message is assets/programs/messages.schema.json.
package talk

// Protocol is the version of the messages. It rises when a program for the old ones would misread new ones.
const Protocol = 1

// MaxLine is how many bytes a program's line may have.
const MaxLine = 1 << 20

// Hello opens the talk: what there is, once for each start of the program.
type Hello struct {
	Message   string  `json:"message"` // "hello"
	Protocol  int     `json:"protocol"`
	Simulator string  `json:"simulator"`
	Tick      float64 `json:"tick"` // s of a control tick
	Field     Field   `json:"field"`
	Robot     Robot   `json:"robot"`
}

// Field is the floor as a routine knows it.
type Field struct {
	Name  string     `json:"name"`
	Title string     `json:"title"`
	Tile  float64    `json:"tile"`  // mm
	Floor [4]float64 `json:"floor"` // least x and y, greatest x and y, mm
	Sides []string   `json:"sides"`
}

// Robot is what can be commanded and read.
type Robot struct {
	Name    string       `json:"name"`
	Title   string       `json:"title"`
	Length  float64      `json:"length"`  // mm
	Width   float64      `json:"width"`   // mm
	Outline [][2]float64 `json:"outline"` // corners in the robot's frame, counter-clockwise, mm
	Parts   []Part       `json:"parts"`   // the drive base first
	Sensors []Sensor     `json:"sensors"`
}

// Part is a mechanism, or the drive base: what it can be told, and what of it every tick tells.
type Part struct {
	Name     string   `json:"name"`
	Kind     string   `json:"kind"`
	Commands []string `json:"commands"`
	Readings []string `json:"readings"`
}

// Sensor is a sensor with what its reading is.
type Sensor struct {
	Name    string `json:"name"`
	Kind    string `json:"kind"`
	Reading string `json:"reading"` // in a line, with its unit

	Looks []string `json:"looks,omitempty"` // what its Look in a Tick may have; none: it has none
}

// Ready is the program's answer to Hello: what the head of a routine file says in Lua.
type Ready struct {
	Answer string   `json:"answer"` // "ready"
	Title  string   `json:"title,omitempty"`
	Side   string   `json:"side,omitempty"`  // the side whose coordinates it uses; "": the field's first
	Start  *Pose    `json:"start,omitempty"` // in that side's coordinates
	Phases []string `json:"phases"`          // those in which it drives: "auto", "driver"
	Params []Param  `json:"params,omitempty"`
}

// Pose is a place and a heading.
type Pose struct {
	X       float64 `json:"x"`       // mm
	Y       float64 `json:"y"`       // mm
	Heading float64 `json:"heading"` // degrees counter-clockwise from +x
}

// Param is a number that can be set from outside.
type Param struct {
	Name     string  `json:"name"`
	Default  float64 `json:"default"`
	Least    float64 `json:"least"`
	Greatest float64 `json:"greatest"`
}

// Begin opens a rehearsal.
type Begin struct {
	Message string             `json:"message"` // "begin"
	Side    string             `json:"side"`    // the side that the robot plays for
	Start   Pose               `json:"start"`   // where it is told to stand, in the program's coordinates
	Params  map[string]float64 `json:"params"`
	Random  uint32             `json:"random"` // to seed random numbers with: the same rehearsal has the same
	Marks   []Mark             `json:"marks"`  // of the field, in the program's coordinates
}

// Mark is a mark of the field.
type Mark struct {
	Name string  `json:"name"`
	X    float64 `json:"x"` // mm
	Y    float64 `json:"y"`
}

// Tick is what a routine may see at one moment.
type Tick struct {
	Message string                    `json:"message"` // "tick"
	Number  int                       `json:"number"`  // counts the ticks told in this rehearsal
	Time    float64                   `json:"time"`    // s since the start of the session
	Phase   string                    `json:"phase"`   // "auto", "driver"
	Belief  Pose                      `json:"belief"`  // where the robot's odometry says that it is
	Battery float64                   `json:"battery"` // V
	Air     float64                   `json:"air"`     // kPa, 0 without pneumatics
	Parts   map[string]map[string]any `json:"parts"`   // numbers and truths, by part and reading
	Sensors map[string]any            `json:"sensors"`
	Looks   map[string]Look           `json:"looks"`         // of the sensors that tell more than a number
	Pad     *Pad                      `json:"pad,omitempty"` // in the driver phase
	Results []Result                  `json:"results"`       // of commands with an id that have ended since
}

// Look is what a sensor tells beside its number.
type Look struct {
	Kind string `json:"kind,omitempty"` // of the piece before an optical sensor; left out: there is none
	Side string `json:"side,omitempty"` // whose it is; left out: nobody's

	Seen []Sighting `json:"seen,omitempty"` // marks, the nearest first; left out: none
}

// Sighting is a mark that a sensor sees.
type Sighting struct {
	Mark
	Range   float64 `json:"range"`   // mm from the sensor
	Bearing float64 `json:"bearing"` // degrees to the left of its direction
}

// Pad is the driver's controller.
type Pad struct {
	LeftX   float64  `json:"left_x"` // -1 to 1, y forward, x right
	LeftY   float64  `json:"left_y"`
	RightX  float64  `json:"right_x"`
	RightY  float64  `json:"right_y"`
	Buttons []string `json:"buttons"` // those that are down
}

// Result is how something that takes time has ended.
type Result struct {
	ID        int     `json:"id"`
	Of        string  `json:"of"` // the command: "drive.ahead"
	OK        bool    `json:"ok"` // Why is "arrived"
	Why       string  `json:"why"`
	Left      float64 `json:"left"` // mm or degrees to its end
	Took      float64 `json:"took"` // s
	Overshoot float64 `json:"overshoot"`
	Settle    float64 `json:"settle"`  // s
	Planned   float64 `json:"planned"` // s
}

// Answer is what a program wants done at a tick.
type Answer struct {
	Answer   string    `json:"answer"` // "commands"
	To       int       `json:"to"`     // the Tick's Number
	Commands []Command `json:"commands"`
	// The next tick is told after so many seconds, or as soon as something begun with an id has ended; 0: the next one
	Wait  float64 `json:"wait,omitempty"`
	Again bool    `json:"again,omitempty"` // tell at once, of this same moment, what the commands have changed
	Done  bool    `json:"done,omitempty"`  // nothing more in this phase: no tick of it is told
	Place         // where it stands
}

// Place is a line of the program's own text.
type Place struct {
	File string `json:"file,omitempty"` // its name without folders; "": not told
	Line int    `json:"line,omitempty"`
}

// Command is one call, as Lua makes it: {"do": "drive.ahead", "with": [720, {"speed": 900}], "id": 1}.
type Command struct {
	Do    string `json:"do"`
	With  []any  `json:"with,omitempty"`
	ID    int    `json:"id,omitempty"` // of a command that takes time: its Result has it too
	Place        // where it is given
}

// End closes a rehearsal.
type End struct {
	Message string `json:"message"` // "end"
	Why     string `json:"why"`     // "over", or what was wrong
}
