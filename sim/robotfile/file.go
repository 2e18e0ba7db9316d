package robotfile

import "chalkfield/internal/units"

// The structs below are the robot file as TOML has it: every key with its default. Convert turns them into Robot.

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

type place [2]units.Length

type chassisFile struct {
	Length       units.Length  `toml:"length" need:"'420 mm'"`
	Width        units.Length  `toml:"width" need:"'400 mm'"`
	Mass         units.Mass    `toml:"mass" need:"'6.2 kg'"`
	Centre       place         `toml:"centre"`
	CentreHeight units.Length  `toml:"centre_height" default:"80 mm"`
	Inertia      units.Inertia `toml:"inertia"`
	Friction     float64       `toml:"friction" default:"0.6"`
	Restitution  float64       `toml:"restitution" default:"0.3"`
}

type motorFile struct {
	Name         string             `toml:"name" need:"'drive motor'"`
	StallTorque  units.Torque       `toml:"stall_torque" need:"'0.7 N m'"`
	FreeSpeed    units.AngularSpeed `toml:"free_speed" need:"'600 rpm'"`
	StallCurrent units.Current      `toml:"stall_current" default:"2.5 A"`
	FreeCurrent  units.Current      `toml:"free_current" default:"0.15 A"`
	Nominal      units.Voltage      `toml:"nominal" default:"12 V"`
	Limit        units.Current      `toml:"limit" default:"0 A"`
	Inertia      units.Inertia      `toml:"inertia" default:"0.3 kg cm^2"`
}

type driveFile struct {
	Motor      string      `toml:"motor"`
	PerSide    int         `toml:"per_side" default:"2"`
	Gear       float64     `toml:"gear" default:"1"`
	Efficiency float64     `toml:"efficiency" default:"0.9"`
	Creep      units.Speed `toml:"creep" default:"60 mm/s"`
}

type wheelFile struct {
	At      place         `toml:"at" need:"['130 mm', '160 mm']"`
	Radius  units.Length  `toml:"radius" default:"41 mm"`
	Train   string        `toml:"train" need:"'left'"`
	Kind    string        `toml:"kind" default:"omni"`
	Along   *float64      `toml:"along"`
	Across  *float64      `toml:"across"`
	Inertia units.Inertia `toml:"inertia" default:"1 kg cm^2"`
}

type batteryFile struct {
	Open       units.Voltage    `toml:"open" default:"12.6 V"`
	Resistance units.Resistance `toml:"resistance" default:"0.12 ohm"`
	Capacity   units.Charge     `toml:"capacity"`
	Empty      units.Voltage    `toml:"empty" default:"10.8 V"`
}

type airFile struct {
	Volume    units.Volume   `toml:"volume" need:"'150 ml'"`
	Pressure  units.Pressure `toml:"pressure" default:"100 psi"`
	Regulator units.Pressure `toml:"regulator" default:"0 psi"`
}

type controlFile struct {
	Speed     units.Speed               `toml:"speed"`
	Accel     units.Acceleration        `toml:"accel"`
	TurnRate  units.AngularSpeed        `toml:"turn_rate"`
	TurnAccel units.AngularAcceleration `toml:"turn_accel"`
	AlongP    units.Closing             `toml:"along_p"`
	HeadingP  units.Closing             `toml:"heading_p"`
	HeadingD  float64                   `toml:"heading_d"`
}

type spreadFile struct {
	StartAt      units.Length       `toml:"start_at"`
	StartHeading units.Angle        `toml:"start_heading"`
	Charge       units.Voltage      `toml:"charge"`
	Motors       float64            `toml:"motors"`
	Sensors      float64            `toml:"sensors"`
	InertialBias units.AngularSpeed `toml:"inertial_bias"`
	Reaction     units.Time         `toml:"reaction"`
	Radius       float64            `toml:"radius"`
}

type odometryFile struct {
	Method   string       `toml:"method" default:"encoders and inertial"`
	Along    []string     `toml:"along"`
	Across   string       `toml:"across"`
	Inertial string       `toml:"inertial"`
	Track    units.Length `toml:"track"`
}
