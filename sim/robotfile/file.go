package robotfile

import (
	"chalkfield/internal/geom"
	"chalkfield/internal/units"
)

// The structs below are the robot file as TOML has it: every key with its default and, for a number, the range that makes
// sense. Convert turns them into Robot.

type robotFile struct {
	Title    string       `toml:"title"`
	About    string       `toml:"about"`
	Chassis  chassisFile  `toml:"chassis" need:"{ length = '420 mm', width = '400 mm', mass = '6.2 kg' }"`
	Motors   []motorFile  `toml:"motors"`
	Drive    driveFile    `toml:"drive"`
	Wheels   []wheelFile  `toml:"wheels" need:"[{ at = ['130 mm', '160 mm'], train = 'left' }, { at = ['130 mm', '-160 mm'], train = 'right' }]"`
	Battery  batteryFile  `toml:"battery"`
	Air      *airFile     `toml:"air"`
	Parts    []partFile   `toml:"parts"`
	Sensors  []sensorFile `toml:"sensors"`
	Odometry odometryFile `toml:"odometry"`
	Control  controlFile  `toml:"control"`
	Spread   spreadFile   `toml:"spread"`
}

// place is a point in the robot's frame, in m. Its limits are how far from the robot's origin anything of it may be.
type place [2]units.Length

func (p place) vec() geom.Vec { return geom.Vec{X: float64(p[0]), Y: float64(p[1])} }

func (p place) pose(direction units.Angle) geom.Pose {
	return geom.Pose{X: float64(p[0]), Y: float64(p[1]), Heading: float64(direction)}
}

type chassisFile struct {
	Length       units.Length  `toml:"length" need:"'420 mm'" min:"50 mm" max:"2 m"`
	Width        units.Length  `toml:"width" need:"'400 mm'" min:"50 mm" max:"2 m"`
	Mass         units.Mass    `toml:"mass" need:"'6.2 kg'" min:"0.1 kg" max:"150 kg"`
	Centre       place         `toml:"centre" min:"-1.5 m" max:"1.5 m"`
	CentreHeight units.Length  `toml:"centre_height" default:"80 mm" min:"0 mm" max:"1.5 m"`
	Inertia      units.Inertia `toml:"inertia" min:"0.001 kg cm^2" max:"100 kg m^2" zero:"that of a uniform rectangle"`
	Friction     float64       `toml:"friction" default:"0.6" min:"0" max:"3"`
	Restitution  float64       `toml:"restitution" default:"0.3" min:"0" max:"1"`
}

type motorFile struct {
	Name         string             `toml:"name" need:"'drive motor'"`
	StallTorque  units.Torque       `toml:"stall_torque" need:"'0.8 N m'" min:"0.001 N m" max:"100 N m"`
	FreeSpeed    units.AngularSpeed `toml:"free_speed" need:"'480 rpm'" min:"5 rpm" max:"48000 rpm"`
	StallCurrent *units.Current     `toml:"stall_current" min:"0.01 A" max:"500 A"`
	FreeCurrent  units.Current      `toml:"free_current" default:"0.2 A" min:"0 A" max:"100 A"`
	Nominal      units.Voltage      `toml:"nominal" default:"12 V" min:"1 V" max:"60 V"`
	Limit        units.Current      `toml:"limit" default:"0 A" min:"0.01 A" max:"500 A" zero:"no limit"`
	Inertia      units.Inertia      `toml:"inertia" default:"0.3 kg cm^2" min:"0 kg cm^2" max:"1000 kg cm^2"`
}

type driveFile struct {
	Motor      string      `toml:"motor"`
	PerSide    int         `toml:"per_side" default:"2" min:"1" max:"8"`
	Gear       float64     `toml:"gear" default:"1" min:"0.05" max:"300"`
	Efficiency float64     `toml:"efficiency" default:"0.9" min:"0.2" max:"1"`
	Creep      units.Speed `toml:"creep" default:"60 mm/s" min:"5 mm/s" max:"500 mm/s"`
	// Common practice, no source: a train of three or four gears and as many bearings turns by hand with some N at the rim.
	Drag    units.Torque  `toml:"drag" default:"0.03 N m" min:"0 N m" max:"50 N m"`
	Viscous units.Viscous `toml:"viscous" default:"0.001 N m s" min:"0 N m s" max:"5 N m s"`
	// Static above sliding friction, 1.1 to 1.5 in greased gears: Armstrong-Helouvry, Dupont, Canudas de Wit, A survey of
	// models ... for the control of machines with friction, Automatica 30(7), 1994; from memory.
	Breakaway float64 `toml:"breakaway" default:"1.2" min:"1" max:"3"`
	Rest      string  `toml:"rest" default:"brake"`
}

type wheelFile struct {
	At      place         `toml:"at" need:"['130 mm', '160 mm']" min:"-1.5 m" max:"1.5 m"`
	Radius  units.Length  `toml:"radius" default:"45 mm" min:"5 mm" max:"300 mm"`
	Train   string        `toml:"train" need:"'left'"`
	Kind    string        `toml:"kind" default:"omni"`
	Along   *float64      `toml:"along" min:"0.01" max:"3"`
	Across  *float64      `toml:"across" min:"0" max:"3"`
	Rolling *float64      `toml:"rolling" min:"0" max:"0.5"`
	Inertia units.Inertia `toml:"inertia" default:"1 kg cm^2" min:"0 kg cm^2" max:"1000 kg cm^2"`
}

type batteryFile struct {
	Open       units.Voltage    `toml:"open" default:"12.6 V" min:"1 V" max:"60 V"`
	Resistance units.Resistance `toml:"resistance" default:"0.12 ohm" min:"0 ohm" max:"2 ohm"`
	Capacity   units.Charge     `toml:"capacity" min:"1 mA h" max:"300 A h" zero:"one that does not run down"`
	Empty      units.Voltage    `toml:"empty" default:"10.8 V" min:"0 V" max:"60 V"`
}

type airFile struct {
	Volume    units.Volume   `toml:"volume" need:"'400 ml'" min:"5 ml" max:"50 l"`
	Pressure  units.Pressure `toml:"pressure" default:"6 bar" min:"0 bar" max:"20 bar"`
	Regulator units.Pressure `toml:"regulator" default:"0 bar" min:"0.01 bar" max:"20 bar" zero:"none"`
}

type controlFile struct {
	Speed     units.Speed               `toml:"speed" min:"1 mm/s" max:"10 m/s" zero:"what the machine can do"`
	Accel     units.Acceleration        `toml:"accel" min:"1 mm/s^2" max:"100 m/s^2" zero:"what the machine can do"`
	TurnRate  units.AngularSpeed        `toml:"turn_rate" min:"0.1 deg/s" max:"3600 deg/s" zero:"what the machine can do"`
	TurnAccel units.AngularAcceleration `toml:"turn_accel" min:"0.1 deg/s^2" max:"60000 deg/s^2" zero:"what the machine can do"`
	AlongP    units.Closing             `toml:"along_p" min:"0.001 1/s" max:"100 1/s" zero:"what the machine can do"`
	HeadingP  units.Closing             `toml:"heading_p" min:"0.001 1/s" max:"100 1/s" zero:"what the machine can do"`
	HeadingD  float64                   `toml:"heading_d" min:"0" max:"10"`
}

type spreadFile struct {
	StartAt      units.Length       `toml:"start_at" min:"0 mm" max:"500 mm"`
	StartHeading units.Angle        `toml:"start_heading" min:"0 deg" max:"45 deg"`
	Charge       units.Voltage      `toml:"charge" min:"0 V" max:"10 V"`
	Motors       float64            `toml:"motors" min:"0" max:"0.3"`
	Sensors      float64            `toml:"sensors" min:"0" max:"0.3"`
	InertialBias units.AngularSpeed `toml:"inertial_bias" min:"0 deg/s" max:"60 deg/s"`
	Reaction     units.Time         `toml:"reaction" min:"0 s" max:"2 s"`
	Radius       float64            `toml:"radius" min:"0" max:"0.3"`
}

type odometryFile struct {
	Method   string       `toml:"method" default:"encoders and inertial"`
	Along    []string     `toml:"along"`
	Across   string       `toml:"across"`
	Inertial string       `toml:"inertial"`
	Track    units.Length `toml:"track" min:"10 mm" max:"3 m" zero:"the effective track"`
}
