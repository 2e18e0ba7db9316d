// Package robot is the robot format: chassis, drive, mechanisms, sensors and odometry of one machine, read strictly
// from a TOML file.
package robot

import (
	"math"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/portable"
)

// Robot is a validated robot in SI units and radians. It is read only once loaded. It and the structs below are the
// tables of the file as tomlfile decodes them, each key with its default and, for a number, the range that makes sense.
type Robot struct {
	Name, SHA256 string // file name and content hash, for records
	Text         string // content, for records

	Title string `toml:"title"`
	About string `toml:"about"`

	Chassis  Chassis  `toml:"chassis" need:"{ length = '420 mm', width = '400 mm', mass = '6.2 kg' }"`
	Motors   []Motor  `toml:"motors"` // kinds of motor, referred to by index
	Drive    Drive    `toml:"drive"`
	Wheels   []Wheel  `toml:"wheels" need:"[{ at = ['130 mm', '160 mm'], train = 'left' }, { at = ['130 mm', '-160 mm'], train = 'right' }]"`
	Battery  Battery  `toml:"battery"`
	Parts    []Part   `toml:"parts"` // mechanisms in file order
	Air      *Air     `toml:"air"`   // nil: no pneumatics
	Sensors  []Sensor `toml:"sensors"`
	Odometry Odometry `toml:"odometry"`
	Control  Control  `toml:"control"` // gains given in the file; zero values are computed from the machine
	Spread   Spread   `toml:"spread"`
}

// Chassis is the rigid body. Its outline, see Shape, holds the robot's origin, the point that poses speak of.
type Chassis struct {
	// along x
	Length float64 `toml:"length" unit:"m" min:"50 mm" max:"2 m"`
	// along y
	Width float64 `toml:"width" unit:"m" min:"50 mm" max:"2 m"`
	// convex; nil: the rectangle of length and width about the origin
	Outline geom.Polygon `toml:"outline" unit:"m" min:"-2 m" max:"2 m"`
	// everything but what is picked up
	Mass float64 `toml:"mass" unit:"kg" need:"'6.2 kg'" min:"0.1 kg" max:"150 kg"`
	// of mass, in the robot's frame; left out: that of the outline's area
	Centre geom.Vec `toml:"centre" unit:"m" min:"-1.5 m" max:"1.5 m"`
	// above the floor: load transfer
	CentreHeight float64 `toml:"centre_height" unit:"m" default:"80 mm" min:"0 mm" max:"1.5 m"`
	// about the centre of mass
	Inertia float64 `toml:"inertia" unit:"kg m^2" min:"0.001 kg cm^2" max:"100 kg m^2" zero:"that of a uniform plate"`
	// surface value in contacts
	Friction    float64 `toml:"friction" default:"0.6" min:"0" max:"3"`
	Restitution float64 `toml:"restitution" default:"0.3" min:"0" max:"1"`
}

// Motor is a kind of motor: the straight torque-speed line at its nominal voltage.
type Motor struct {
	Name         string  `toml:"name" need:"'drive motor'"`
	StallTorque  float64 `toml:"stall_torque" unit:"N m" need:"'0.8 N m'" min:"0.001 N m" max:"100 N m"`
	FreeSpeed    float64 `toml:"free_speed" unit:"rad/s" need:"'480 rpm'" min:"5 rpm" max:"48000 rpm"`
	StallCurrent float64 `toml:"stall_current" unit:"A" min:"0.01 A" max:"500 A"` // left out: computed
	FreeCurrent  float64 `toml:"free_current" unit:"A" default:"0.2 A" min:"0 A" max:"100 A"`
	Nominal      float64 `toml:"nominal" unit:"V" default:"12 V" min:"1 V" max:"60 V"`
	Limit        float64 `toml:"limit" unit:"A" default:"0 A" min:"0.01 A" max:"500 A" zero:"no limit"`
	// of the rotor, before the gear
	Inertia float64 `toml:"inertia" unit:"kg m^2" default:"0.3 kg cm^2" min:"0 kg cm^2" max:"1000 kg cm^2"`

	// Lasting is the current that the motor bears for ever, see power.Heat. That windings warm within half a minute to
	// some minutes is common practice, no source.
	Lasting float64 `toml:"lasting_current" unit:"A" default:"0 A" min:"0.01 A" max:"500 A" zero:"a motor that does not get hot"`
	// time constant of its warming and cooling
	HeatTime float64 `toml:"heat_time" unit:"s" default:"60 s" min:"1 s" max:"7200 s"`
}

// Hot is the heat from which a motor's current limit falls, as a share of that to which its lasting current leads.
const Hot = 0.8

// StallCurrentHeld is the current of the stalled motor within its limit, A.
func (m Motor) StallCurrentHeld() float64 {
	if m.Limit > 0 {
		return min(m.Limit, m.StallCurrent)
	}
	return m.StallCurrent
}

// PushesFor is how long the motor may push stalled from cold until its current limit falls, s; 0: it does not get hot.
// The warming h = (I/I_lasting)^2 (1 - e^(-t/tau)) solved for t: tau ln(I^2/(I^2 - Hot I_lasting^2)), as in IEC
// 60255-149 (from memory).
func (m Motor) PushesFor() float64 {
	if m.Lasting == 0 {
		return 0
	}
	i := m.StallCurrentHeld()
	return -m.HeatTime * portable.Log(1-float64(Hot*m.Lasting*m.Lasting)/(i*i))
}

// VoltsPerSpeed is the motor's back-EMF, V s/rad: what its nominal voltage has over the drop V I0/Is, at the free
// speed.
func (m Motor) VoltsPerSpeed() float64 {
	return m.Nominal * (1 - m.FreeCurrent/m.StallCurrent) / m.FreeSpeed
}

// TorquePerAmp is the torque per ampere beyond the free current, N m/A. A motor that gave more of it than VoltsPerSpeed
// would give more power than it takes.
func (m Motor) TorquePerAmp() float64 { return m.StallTorque / (m.StallCurrent - m.FreeCurrent) }

// LeastStallCurrent is the stall current, in A, of a motor that has all its torque from its current, without losses but
// its friction: TorquePerAmp = VoltsPerSpeed solved for Is. With less the motor would give more than it takes.
func (m Motor) LeastStallCurrent() float64 {
	friction := 2 * m.Nominal * m.FreeCurrent
	b := float64(friction) + float64(m.StallTorque*m.FreeSpeed)
	return (b + math.Sqrt(max(0, float64(b*b)-float64(friction*friction)))) / (2 * m.Nominal)
}

// Drive is the differential drive base.
type Drive struct {
	Motor   int `toml:"motor" refer:"motor of this file"`     // left out: the first
	PerSide int `toml:"per_side" default:"2" min:"1" max:"8"` // motors on each train
	// motor turns per wheel turn
	Gear       float64 `toml:"gear" default:"1" min:"0.05" max:"300"`
	Efficiency float64 `toml:"efficiency" default:"0.9" min:"0.2" max:"1"` // of the gearing
	// slip speed at which a tyre reaches its full friction
	Creep float64 `toml:"creep" unit:"m/s" default:"60 mm/s" min:"5 mm/s" max:"500 mm/s"`

	// Friction of gears and bearings at each train's wheels: Coulomb, and what grows with the speed. Common practice, no
	// source: a train of three or four gears and as many bearings turns by hand with some N at the rim.
	Drag    float64 `toml:"drag" unit:"N m" default:"0.03 N m" min:"0 N m" max:"50 N m"`
	Viscous float64 `toml:"viscous" unit:"N m s" default:"0.001 N m s" min:"0 N m s" max:"5 N m s"`
	// Breakaway is the friction of a train that stands over that of one that turns, 1.1 to 1.5 in greased gears:
	// Armstrong-Helouvry, Dupont, Canudas de Wit, A survey of models ... for the control of machines with friction,
	// Automatica 30(7), 1994; from memory.
	Breakaway float64 `toml:"breakaway" default:"1.2" min:"1" max:"3"`
	// at 0 V the motors are open, not shorted
	Coasts bool `toml:"rest" default:"brake" words:"way to rest at 0 V: brake, coast"`

	// The faults of the motor controller: the command below which it gives 0 V, the time from a command until the motors
	// have it, and how fast its volts change at most.
	DeadBand float64 `toml:"dead_band" unit:"V" default:"0 V" min:"0 V" max:"10 V"`
	Latency  float64 `toml:"latency" unit:"s" default:"0 s" min:"0 s" max:"0.5 s"`
	Slew     float64 `toml:"slew" unit:"V/s" default:"0 V/s" min:"1 V/s" max:"10000 V/s" zero:"no limit"`
	// Backlash is the play between motors and wheels, rad at the wheel.
	Backlash float64 `toml:"backlash" unit:"rad" default:"0 deg" min:"0 deg" max:"45 deg"`
	// how strong each side's motors are against the file's motor: torque and currents at the same speeds
	LeftPush  float64 `toml:"left_push" default:"1" min:"0.5" max:"1.5"`
	RightPush float64 `toml:"right_push" default:"1" min:"0.5" max:"1.5"`
}

// Push is how strong a train's motors are against the file's motor; a drive that is not from a file has them alike.
func (d Drive) Push(t Train) float64 {
	push := d.RightPush
	if t == Left {
		push = d.LeftPush
	}
	if push == 0 {
		return 1
	}
	return push
}

// push is the mean of both trains.
func (d Drive) push() float64 { return (d.Push(Left) + d.Push(Right)) / 2 }

// Wheel is one wheel.
type Wheel struct {
	At     geom.Vec `toml:"at" unit:"m" need:"['130 mm', '160 mm']" min:"-1.5 m" max:"1.5 m"` // robot frame
	Radius float64  `toml:"radius" unit:"m" default:"45 mm" min:"5 mm" max:"300 mm"`
	Train  Train    `toml:"train" need:"'left'" words:"left, right, free"`
	// decides what is left out of the next three
	Kind string `toml:"kind" default:"omni" words:"kind of wheel: omni, traction"`
	// friction coefficient along the rolling direction
	Along float64 `toml:"along" min:"0.01" max:"3"`
	// and across it: small for an omni wheel
	Across float64 `toml:"across" min:"0" max:"3"`
	// Static is the friction of a tyre that does not slide over that of one that does, along and across. That rubber on a
	// hard floor has 1 to 1.3 is common practice, no source.
	Static float64 `toml:"static" default:"1" min:"1" max:"2"`
	// coefficient of rolling resistance: its force over the wheel's load
	Rolling float64 `toml:"rolling" min:"0" max:"0.5"`
	Inertia float64 `toml:"inertia" unit:"kg m^2" default:"1 kg cm^2" min:"0 kg cm^2" max:"1000 kg cm^2"`
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
	Open       float64 `toml:"open" unit:"V" default:"12.6 V" min:"1 V" max:"60 V"` // charged as at the start
	Resistance float64 `toml:"resistance" unit:"ohm" default:"0.12 ohm" min:"0 ohm" max:"2 ohm"`
	Capacity   float64 `toml:"capacity" unit:"C" min:"1 mA h" max:"300 A h" zero:"one that does not run down"`
	// open circuit when the capacity is used
	Empty float64 `toml:"empty" unit:"V" default:"10.8 V" min:"0 V" max:"60 V"`
}

// Air is the reservoir. Pressures are above that of the surroundings.
type Air struct {
	Volume   float64 `toml:"volume" unit:"m^3" need:"'400 ml'" min:"5 ml" max:"50 l"`
	Pressure float64 `toml:"pressure" unit:"Pa" default:"6 bar" min:"0 bar" max:"20 bar"` // at the start
	// what the pistons get at most
	Regulator float64 `toml:"regulator" unit:"Pa" default:"0 bar" min:"0.01 bar" max:"20 bar" zero:"none"`
}

// Odometry says how the belief is made.
type Odometry struct {
	Method OdometryMethod `toml:"method" default:"encoders and inertial" words:"method of odometry: encoders, encoders and inertial, tracking wheels and inertial"`
	// encoders (left, right) or parallel tracking wheels
	Along []int `toml:"along" refer:"sensor"`
	// the perpendicular tracking wheel, -1: none; with encoders too
	Across   int `toml:"across" refer:"sensor"`
	Inertial int `toml:"inertial" refer:"sensor"` // -1: none
	// width that the robot believes in
	Track float64 `toml:"track" unit:"m" min:"10 mm" max:"3 m" zero:"the effective track"`
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
	// the first four: defaults of a motion
	Speed     float64 `toml:"speed" unit:"m/s" min:"1 mm/s" max:"10 m/s" zero:"what the machine can do"`
	Accel     float64 `toml:"accel" unit:"m/s^2" min:"1 mm/s^2" max:"100 m/s^2" zero:"what the machine can do"`
	TurnRate  float64 `toml:"turn_rate" unit:"rad/s" min:"0.1 deg/s" max:"3600 deg/s" zero:"what the machine can do"`
	TurnAccel float64 `toml:"turn_accel" unit:"rad/s^2" min:"0.1 deg/s^2" max:"60000 deg/s^2" zero:"what the machine can do"`
	// position error to speed
	AlongP   float64 `toml:"along_p" unit:"1/s" min:"0.001 1/s" max:"100 1/s" zero:"what the machine can do"`
	HeadingP float64 `toml:"heading_p" unit:"1/s" min:"0.001 1/s" max:"100 1/s" zero:"what the machine can do"`
	HeadingD float64 `toml:"heading_d" min:"0" max:"10"`
}

// Spread is the declared uncertainty of the robot's side of a rehearsal: standard deviations, drawn normal and cut at 3
// sigma.
type Spread struct {
	StartAt      float64 `toml:"start_at" unit:"m" min:"0 mm" max:"500 mm"` // x and y
	StartHeading float64 `toml:"start_heading" unit:"rad" min:"0 deg" max:"45 deg"`
	Charge       float64 `toml:"charge" unit:"V" min:"0 V" max:"10 V"`
	Motors       float64 `toml:"motors" min:"0" max:"0.3"`  // relative strength, each train its own
	Sensors      float64 `toml:"sensors" min:"0" max:"0.3"` // relative: scales of encoders, tracking wheels
	InertialBias float64 `toml:"inertial_bias" unit:"rad/s" min:"0 deg/s" max:"60 deg/s"`
	Reaction     float64 `toml:"reaction" unit:"s" min:"0 s" max:"2 s"` // delay before the routine starts
	Radius       float64 `toml:"radius" min:"0" max:"0.3"`              // relative, wheel radius per train
}
