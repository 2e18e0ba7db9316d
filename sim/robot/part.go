package robot

import "chalkfield/internal/base/geom"

// Kind of a mechanism.
type Kind string

const (
	KindIntake   Kind = "intake"
	KindConveyor Kind = "conveyor"
	KindClamp    Kind = "clamp"
	KindScorer   Kind = "scorer"
	KindClaw     Kind = "claw"
	KindLift     Kind = "lift"
)

// Part is a mechanism: its name, and exactly one table, the one of its kind.
type Part struct {
	Name     string `toml:"name" need:"'intake'"`
	Kind     Kind
	Intake   *Intake   `toml:"intake"`
	Conveyor *Conveyor `toml:"conveyor"`
	Clamp    *Clamp    `toml:"clamp"`
	Scorer   *Scorer   `toml:"scorer"`
	Claw     *Claw     `toml:"claw"`
	Lift     *Lift     `toml:"lift"`
}

// Powered is a motor behind a gear, as intake, conveyor and lift have it.
type Powered struct {
	Motor      int     `toml:"motor" refer:"motor of this file"`       // left out: the first
	Count      int     `toml:"count" default:"1" min:"1" max:"8"`      // motors
	Gear       float64 `toml:"gear" default:"1" min:"0.02" max:"2000"` // motor turns per output turn
	Efficiency float64 `toml:"efficiency" default:"0.85" min:"0.1" max:"1"`
	Inertia    float64 `toml:"inertia" unit:"kg m^2" default:"1 kg cm^2" min:"0.001 kg cm^2" max:"10 kg m^2"` // at the output
	Coasts     bool    `toml:"rest" default:"brake" words:"way to rest at 0 V: brake, coast"`                 // at 0 V the motors are open, not shorted
}

// Intake draws pieces through a mouth.
type Intake struct {
	Powered
	Radius float64      `toml:"radius" unit:"m" default:"25 mm" min:"2 mm" max:"200 mm"`                                                                                   // of the rollers
	Mouth  geom.Polygon `toml:"mouth" unit:"m" need:"[['200 mm', '-120 mm'], ['300 mm', '-120 mm'], ['300 mm', '120 mm'], ['200 mm', '120 mm']]" min:"-1.5 m" max:"1.5 m"` // robot frame: a piece whose centre is in it is caught if the rollers turn inwards
	Facing float64      `toml:"direction" unit:"rad" min:"-360 deg" max:"360 deg"`                                                                                         // out of the mouth, its axis
	Angle  float64      `toml:"angle" unit:"rad" default:"60 deg" min:"0 deg" max:"180 deg"`                                                                               // greatest between the piece's approach and the mouth's axis
	Speed  float64      `toml:"speed" unit:"m/s" default:"300 mm/s" min:"0 mm/s" max:"10 m/s"`                                                                             // least roller surface speed that catches
	Into   int          `toml:"into" refer:"part"`                                                                                                                         // the conveyor that it feeds
}

// Conveyor carries pieces in order from the intake end to the scoring end.
type Conveyor struct {
	Powered
	Radius float64   `toml:"radius" unit:"m" default:"20 mm" min:"2 mm" max:"200 mm"`                                      // of the sprocket
	Length float64   `toml:"length" unit:"m" need:"'450 mm'" min:"20 mm" max:"3 m"`                                        // of travel
	Slots  int       `toml:"slots" need:"3" min:"1" max:"20"`                                                              // pieces it holds at most
	Exit   geom.Vec  `toml:"exit" unit:"m" need:"['290 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`                             // robot frame: where pieces leave at the intake end when run backwards
	Out    geom.Pose `toml:"out,direction" unit:"m" need:"['-290 mm', '0 mm']" default:"180 deg" min:"-1.5 m" max:"1.5 m"` // robot frame: where and in which direction they leave at the far end when there is no scorer
	Load   float64   `toml:"load" unit:"N" default:"1 N" min:"0 N" max:"100 N"`                                            // drag per piece carried
}

// Piston is a single-acting cylinder on the robot's air.
type Piston struct {
	Bore   float64 `toml:"bore" unit:"m" default:"10 mm" min:"2 mm" max:"100 mm"`
	Stroke float64 `toml:"stroke" unit:"m" default:"25 mm" min:"2 mm" max:"500 mm"`
	Spring float64 `toml:"spring" unit:"N" default:"8 N" min:"0 N" max:"1000 N"`  // return spring or rubber band
	Assist bool    `toml:"assist"`                                                // the spring helps the working stroke instead of the return
	Time   float64 `toml:"time" unit:"s" default:"120 ms" min:"5 ms" max:"5 s"`   // of a stroke
	Tubing float64 `toml:"tubing" unit:"m^3" default:"0 ml" min:"0 ml" max:"1 l"` // between valve and piston, vented before a stroke
}

// Clamp takes a pushable goal by a piston, or by a force of its own.
type Clamp struct {
	At       geom.Pose `toml:"at,direction" unit:"m" need:"['-330 mm', '0 mm']" default:"180 deg" min:"-1.5 m" max:"1.5 m"` // robot frame: where the goal's centre sits once held, heading: outward direction of the mouth
	Offset   float64   `toml:"offset" unit:"m" default:"35 mm" min:"1 mm" max:"500 mm"`                                     // of the goal from At at which half of the tries succeed
	Angle    float64   `toml:"angle" unit:"rad" default:"14 deg" min:"0.1 deg" max:"180 deg"`                               // the same for that between the goal's nearest face and the mouth
	Softness float64   `toml:"softness" default:"0.2" min:"0" max:"1"`                                                      // width of the transition as a share of Offset and Angle; 0: a sharp edge
	Piston   Piston    `toml:"piston"`
	Normal   float64   `toml:"force" unit:"N" min:"0.01 N" max:"2000 N" zero:"a piston"` // grip without air
	Grip     float64   `toml:"grip" default:"0.6" min:"0.01" max:"5"`                    // friction coefficient of jaw on goal: holding force = Grip x piston force
	Shut     bool      `toml:"shut"`                                                     // starts shut
}

// Scorer moves a piece from the conveyor's end into a goal.
type Scorer struct {
	From     int       `toml:"from" refer:"part"`                                                                           // the conveyor
	Clamp    int       `toml:"clamp" refer:"part"`                                                                          // the clamp whose goal it fills, -1: fixed goals only
	At       geom.Pose `toml:"at,direction" unit:"m" need:"['-250 mm', '0 mm']" default:"180 deg" min:"-1.5 m" max:"1.5 m"` // robot frame: where pieces leave
	Offset   float64   `toml:"offset" unit:"m" default:"40 mm" min:"1 mm" max:"1 m"`                                        // of the goal at which half of the pieces go in
	Angle    float64   `toml:"angle" unit:"rad" default:"25 deg" min:"0.1 deg" max:"180 deg"`
	Softness float64   `toml:"softness" default:"0.2" min:"0" max:"1"`
	Crooked  float64   `toml:"crooked" unit:"m" default:"25 mm" min:"0 mm" max:"1 m"` // offset beyond which a piece that goes in lands crooked
	Lift     int       `toml:"lift" refer:"part"`                                     // that carries it, -1: at floor height
	Reach    float64   `toml:"reach" unit:"m" default:"250 mm" min:"1 mm" max:"2 m"`  // fixed goals no farther than this from At
}

// Claw holds one piece aside.
type Claw struct {
	At     geom.Pose `toml:"at,direction" unit:"m" need:"['280 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"` // robot frame: the mouth when deployed
	Offset float64   `toml:"offset" unit:"m" default:"60 mm" min:"1 mm" max:"500 mm"`                  // farthest piece it takes
	Piston Piston    `toml:"piston"`                                                                   // deploys
	Lift   int       `toml:"lift" refer:"part"`                                                        // that carries it, -1: none
	Reach  float64   `toml:"reach" unit:"m" default:"200 mm" min:"1 mm" max:"2 m"`                     // goals it can put the piece into
	Gives  int       `toml:"gives" refer:"part"`                                                       // the conveyor it can give the piece back to, -1: none
}

// Lift is an arm on a pivot, with angles from level and torques, or an elevator, with lengths and forces.
type Lift struct {
	Powered
	Elevator bool     `toml:"elevator"`
	Radius   float64  `toml:"radius" unit:"m" default:"20 mm" min:"2 mm" max:"300 mm"`                 // elevator: of the sprocket
	Arm      float64  `toml:"arm" unit:"m" default:"250 mm" min:"10 mm" max:"2 m"`                     // arm: pivot to the load
	Load     float64  `toml:"load" unit:"kg" default:"0.3 kg" min:"1 g" max:"50 kg"`                   // at the end of the arm, or on the carriage
	Low      float64  `toml:"low" unit:"rad|m" need:"'-30 deg'" min:"-360 deg|-3 m" max:"360 deg|3 m"` // end stop
	High     float64  `toml:"high" unit:"rad|m" need:"'70 deg'" min:"-360 deg|-3 m" max:"360 deg|3 m"`
	Start    float64  `toml:"start" unit:"rad|m" min:"-360 deg|-3 m" max:"360 deg|3 m"`
	Spring   float64  `toml:"spring" unit:"N m|N" min:"0 N m|0 N" max:"500 N m|2000 N"`                                   // constant assist against gravity
	Friction float64  `toml:"friction" unit:"N m|N" min:"0 N m|0 N" max:"500 N m|2000 N"`                                 // Coulomb
	Slack    float64  `toml:"slack" unit:"rad|m" min:"0 deg|0 mm" max:"90 deg|750 mm"`                                    // play between sensor and load
	Sensor   float64  `toml:"sensor" unit:"rad|m" min:"0.00001 deg|0.0001 mm" max:"90 deg|750 mm" zero:"an ideal sensor"` // resolution
	Within   float64  `toml:"within" unit:"rad|m" min:"0.006 deg|0.1 mm" max:"90 deg|750 mm"`                             // counts as there
	Heights  []Height `toml:"heights"`
	Gains    Gains    `toml:"gains"`
}

// Height is a named lift position, rad or m.
type Height struct {
	Name string  `toml:"name" need:"'rack'"`
	At   float64 `toml:"at" unit:"rad|m" need:"'40 deg'" min:"-360 deg|-3 m" max:"360 deg|3 m"`
}

// Gains of a PID loop with static feedforward, V per rad or per m.
type Gains struct {
	P    float64 `toml:"p" unit:"V/rad|V/m" min:"0 V/deg|0 V/mm" max:"10000 V/deg|1000 V/mm"` // left out: computed
	I    float64 `toml:"i" unit:"V/rad/s|V/m/s" min:"0 V/deg/s|0 V/mm/s" max:"10000 V/deg/s|1000 V/mm/s"`
	D    float64 `toml:"d" unit:"V s/rad|V s/m" min:"0 V s/deg|0 V s/mm" max:"10000 V s/deg|1000 V s/mm"`
	Hold float64 `toml:"hold" unit:"V" min:"-60 V" max:"60 V"`
}
