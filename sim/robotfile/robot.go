// Package robotfile is the robot format: chassis, drive, mechanisms, sensors and odometry of one machine, read strictly
// from a TOML file.
package robotfile

import (
	"math"

	"chalkfield/internal/geom"
)

// Robot is a validated robot in SI units and radians. It is read only once loaded.
type Robot struct {
	Name, SHA256 string // file name and content hash, for records
	Title, About string

	Chassis  Chassis
	Motors   []Motor // kinds of motor, referred to by index
	Drive    Drive
	Battery  Battery
	Parts    []Part // mechanisms in file order
	Air      *Air   // nil: no pneumatics
	Sensors  []Sensor
	Odometry Odometry
	Control  Control // gains given in the file; zero values are computed from the machine
	Spread   Spread
}

// Chassis is the rigid body. Its outline is a rectangle centred on the robot's origin, the point that poses speak of.
type Chassis struct {
	Length, Width float64  // m, along x and y
	Mass          float64  // kg, everything but what is picked up
	Centre        geom.Vec // centre of mass in the robot's frame, m
	CentreHeight  float64  // m above the floor: load transfer
	Inertia       float64  // kg m^2 about the centre of mass; 0 in the file: a uniform rectangle
	Friction      float64  // surface value in contacts
	Restitution   float64
}

// Motor is a kind of motor: the straight torque-speed line at its nominal voltage.
type Motor struct {
	Name         string
	StallTorque  float64 // N m
	FreeSpeed    float64 // rad/s
	StallCurrent float64 // A
	FreeCurrent  float64 // A
	Nominal      float64 // V
	Limit        float64 // A, current limit; 0: none
	Inertia      float64 // kg m^2 of the rotor, before the gear
}

// VoltsPerSpeed is the motor's back-EMF, V s/rad: what its nominal voltage has over the drop V I0/Is, at the free speed.
func (m Motor) VoltsPerSpeed() float64 {
	return m.Nominal * (1 - m.FreeCurrent/m.StallCurrent) / m.FreeSpeed
}

// TorquePerAmp is the torque per ampere beyond the free current, N m/A. A motor that gave more of it than VoltsPerSpeed
// would give more power than it takes.
func (m Motor) TorquePerAmp() float64 { return m.StallTorque / (m.StallCurrent - m.FreeCurrent) }

// leastStallCurrent is the stall current, in A, of a motor that has all its torque from its current, without losses but
// its friction: TorquePerAmp = VoltsPerSpeed solved for Is. With less the motor would give more than it takes.
func (m Motor) leastStallCurrent() float64 {
	friction := 2 * m.Nominal * m.FreeCurrent
	b := float64(friction) + float64(m.StallTorque*m.FreeSpeed)
	return (b + math.Sqrt(max(0, float64(b*b)-float64(friction*friction)))) / (2 * m.Nominal)
}

// Drive is the differential drive base.
type Drive struct {
	Motor      int     // index of Motors
	PerSide    int     // motors on each train
	Gear       float64 // motor turns per wheel turn
	Efficiency float64 // of the gearing, 0..1
	Wheels     []Wheel
	Creep      float64 // m/s: slip speed at which a tyre reaches its full friction
	Drag       float64 // N m at each train's wheels: Coulomb friction of gears and bearings
	Viscous    float64 // N m s likewise: friction that grows with the speed
	Coasts     bool    // at 0 V the motors are open, not shorted
	Breakaway  float64 // friction of a train that stands over that of one that turns, at least 1
}

// Wheel is one wheel.
type Wheel struct {
	At      geom.Vec // m, robot frame
	Radius  float64  // m
	Train   Train
	Along   float64 // friction coefficient along the rolling direction
	Across  float64 // and across it: small for an omni wheel
	Inertia float64 // kg m^2
	Rolling float64 // coefficient of rolling resistance: its force over the wheel's load
}

// Train is the gear train a wheel hangs on.
type Train int

const (
	Left Train = iota
	Right
	Free // rolls undriven
)

// Battery is an ideal source behind a resistance.
type Battery struct {
	Open       float64 // V, charged as at the start
	Resistance float64 // ohm
	Capacity   float64 // C (A s); 0: does not run down
	Empty      float64 // V open circuit when the capacity is used
}

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

// Part is a mechanism: its name, and exactly one of the members below set, the one of its kind.
type Part struct {
	Name     string
	Kind     Kind
	Intake   *Intake
	Conveyor *Conveyor
	Clamp    *Clamp
	Scorer   *Scorer
	Claw     *Claw
	Lift     *Lift
}

// Powered is a motor behind a gear, as intake, conveyor and lift have it.
type Powered struct {
	Motor      int     // index of Robot.Motors
	Count      int     // motors
	Gear       float64 // motor turns per output turn
	Efficiency float64
	Radius     float64 // m: roller or sprocket
	Inertia    float64 // kg m^2 at the output
}

// Intake draws pieces through a mouth.
type Intake struct {
	Powered
	Mouth  geom.Polygon // robot frame: a piece whose centre is in it is caught if the rollers turn inwards
	Facing float64      // rad: direction out of the mouth, its axis
	Angle  float64      // rad: greatest angle between the piece's approach and the mouth's axis
	Speed  float64      // m/s: least roller surface speed that catches
	Into   int          // index of the conveyor part that it feeds
}

// Conveyor carries pieces in order from the intake end to the scoring end.
type Conveyor struct {
	Powered
	Length float64   // m of travel
	Slots  int       // pieces it holds at most
	Exit   geom.Vec  // robot frame: where pieces leave at the intake end when run backwards
	Out    geom.Pose // robot frame: where and in which direction they leave at the far end when there is no scorer
	Load   float64   // N of drag per piece carried
}

// Clamp takes a pushable goal by a piston.
type Clamp struct {
	At       geom.Pose // robot frame: where the goal's centre sits once held, heading: outward direction of the mouth
	Offset   float64   // m: offset of the goal from At at which half of the tries succeed
	Angle    float64   // rad: likewise the angle between the goal's nearest face and the mouth
	Softness float64   // 0..1: width of the transition as a share of Offset and Angle; 0: a sharp edge
	Piston   Piston
	Grip     float64 // friction coefficient of jaw on goal: holding force = Grip x piston force
	Shut     bool    // starts shut
	Normal   float64 // N of grip without air (robots whose clamp is not pneumatic); 0: pneumatic
}

// Piston is a single-acting cylinder on the robot's air.
type Piston struct {
	Bore, Stroke float64 // m
	Spring       float64 // N: return spring or rubber band
	Assist       bool    // the spring helps the working stroke instead of the return
	Time         float64 // s for a stroke
	Tubing       float64 // m^3 between valve and piston, vented before a stroke
}

// Scorer moves a piece from the conveyor's end into a goal.
type Scorer struct {
	From     int       // index of the conveyor part
	Clamp    int       // index of the clamp whose goal it fills, -1: fixed goals only
	At       geom.Pose // robot frame: where pieces leave
	Offset   float64   // m: goal offset at which half of the pieces go in
	Angle    float64   // rad
	Softness float64
	Crooked  float64 // m: offset beyond which a piece that goes in lands crooked
	Lift     int     // index of the lift that carries it, -1: at floor height
	Reach    float64 // m: fixed goals no farther than this from At
}

// Claw holds one piece aside.
type Claw struct {
	At     geom.Pose // robot frame: the mouth when deployed
	Offset float64   // m: farthest piece it takes
	Piston Piston    // deploys
	Lift   int       // index of the lift that carries it, -1: none
	Reach  float64   // m: goals it can put the piece into
	Gives  int       // index of the conveyor it can give the piece back to, -1: none
}

// Lift is an arm on a pivot or an elevator.
type Lift struct {
	Powered
	Elevator  bool
	Arm       float64 // m: pivot to the load (arm)
	Load      float64 // kg at the end of the arm, or on the carriage
	Low, High float64 // rad from level (arm) or m (elevator): end stops
	Start     float64
	Spring    float64 // N m (arm, constant) or N (elevator) of assist against gravity
	Friction  float64 // N m or N, Coulomb
	Slack     float64 // rad or m: play between sensor and load
	Sensor    float64 // resolution of its rotation sensor, rad or m
	Heights   []Height
	Gains     Gains   // V per rad or per m
	Within    float64 // rad or m: counts as there
}

// Height is a named lift position.
type Height struct {
	Name string
	At   float64 // rad or m
}

// Gains of a PID loop with static feedforward.
type Gains struct{ P, I, D, Hold float64 }

// Air is the reservoir.
type Air struct {
	Volume    float64 // m^3
	Pressure  float64 // Pa gauge at the start
	Regulator float64 // Pa gauge the pistons get at most; 0: unregulated
}

// Sensor is one sensor; what the numbers mean depends on Kind.
type Sensor struct {
	Name string
	Kind SensorKind

	At        geom.Pose // robot frame: mounting place and direction
	Train     Train     // encoder
	Radius    float64   // m: tracking wheel
	Part      int       // optical on a conveyor, rotation on a lift: index of the part; -1 none
	Along     float64   // optical: m along the conveyor
	Low, High float64   // range: distance sensor m

	Resolution float64 // of the reading's unit; 0: ideal
	Rate       float64 // Hz; 0: every control tick
	Latency    float64 // s
	Noise      float64 // standard deviation per reading, of the reading's unit
	Walk       float64 // inertial: angle random walk, rad/sqrt(s)
	BiasWalk   float64 // inertial: rate random walk, rad/s/sqrt(s)
	Bias       float64 // inertial: constant bias, rad/s
	Scale      float64 // relative error of the scale
	Dropout    float64 // probability that a reading is lost (the last one is kept)
}

// SensorKind of a sensor.
type SensorKind string

const (
	Encoder  SensorKind = "encoder"        // wheel travel of a train, m
	Tracking SensorKind = "tracking wheel" // travel along At's heading, m
	Inertial SensorKind = "inertial"       // heading, rad, counter-clockwise from the start
	Distance SensorKind = "distance"       // m along the ray from At
	Optical  SensorKind = "optical"        // 1 when a piece is before it
	Rotation SensorKind = "rotation"       // angle of a lift, rad (m for an elevator)
	Bumper   SensorKind = "bumper"         // 1 when pressed
)

// Odometry says how the belief is made.
type Odometry struct {
	Method   OdometryMethod
	Along    []int   // sensor indices: encoders (left, right) or parallel tracking wheels
	Across   int     // sensor index of the perpendicular tracking wheel, -1: none; with encoders too
	Inertial int     // sensor index, -1: none
	Track    float64 // m: track width that the robot believes in; 0 in the file: the true one
}

// OdometryMethod names a way of dead reckoning.
type OdometryMethod string

const (
	ByEncoders         OdometryMethod = "encoders"
	ByEncodersInertial OdometryMethod = "encoders and inertial"
	ByTracking         OdometryMethod = "tracking wheels and inertial"
)

// Control holds the gains of the motions; zero members are computed from the machine.
type Control struct {
	Speed, Accel        float64 // m/s, m/s^2: defaults of a motion
	TurnRate, TurnAccel float64 // rad/s, rad/s^2
	AlongP, HeadingP    float64 // 1/s: position error to speed
	HeadingD            float64
}

// Spread is the declared uncertainty of the robot's side of a rehearsal: standard deviations, drawn normal and cut at 3
// sigma.
type Spread struct {
	StartAt      float64 // m, x and y
	StartHeading float64 // rad
	Charge       float64 // V
	Motors       float64 // relative strength, each train its own
	Sensors      float64 // relative: scales of encoders, tracking wheels
	InertialBias float64 // rad/s
	Reaction     float64 // s: delay before the routine starts
	Radius       float64 // relative, wheel radius per train
}
