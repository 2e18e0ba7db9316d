package robot

// Command is what a routine asks of a mechanism. Verb decides which number counts.
type Command struct {
	Verb  Verb
	Value float64 // Volts: V; Target: rad or m
}

// Verb of a Command.
type Verb int

const (
	Volts  Verb = iota // intake, conveyor, lift: run the motor at Value volts
	Hold               // conveyor: keep the next piece at its optical sensor; lift: stay at the present position
	Target             // lift: closed loop to Value
	Shut               // clamp: close; claw: close on a piece; gate: let pieces pass
	Open               // clamp: open; claw: let go; gate: throw pieces out
	Deploy             // claw: out
	Stow               // claw: in
	Give               // claw: put the piece back on the conveyor
	Place              // claw: put the piece into the goal before it
)

// Status is what a mechanism's own sensors tell.
type Status struct {
	Count   int     // conveyor: pieces on it; claw: 0 or 1; gate: thrown out so far
	Holding bool    // clamp: a goal; claw: a piece; conveyor: a piece stands at its hold
	Shut    bool    // clamp, claw
	Out     bool    // claw: deployed; gate: all the way open
	Moving  bool    // piston under way, conveyor carrying, lift not there yet
	Jammed  bool    // conveyor, scorer, gate
	Stalled bool    // lift, intake: motor pushes hard and does not move
	Value   float64 // lift: sensed position, rad or m; intake, conveyor: surface speed, m/s
	Target  float64 // lift
	Volts   float64
	Amps    float64
	Heat    float64 // intake, conveyor, lift: see power.Heat
	Scored  int     // scorer: pieces it has put into goals
}
