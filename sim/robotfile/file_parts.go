package robotfile

import "chalkfield/internal/units"

// partFile is a [[parts]] table: a name and one table named for the kind of mechanism.
type partFile struct {
	Name     string        `toml:"name" need:"'intake'"`
	Intake   *intakeFile   `toml:"intake"`
	Conveyor *conveyorFile `toml:"conveyor"`
	Clamp    *clampFile    `toml:"clamp"`
	Scorer   *scorerFile   `toml:"scorer"`
	Claw     *clawFile     `toml:"claw"`
	Lift     *liftFile     `toml:"lift"`
}

type poweredFile struct {
	Motor      string        `toml:"motor"`
	Count      int           `toml:"count" default:"1" min:"1" max:"8"`
	Gear       float64       `toml:"gear" default:"1" min:"0.02" max:"2000"`
	Efficiency float64       `toml:"efficiency" default:"0.85" min:"0.1" max:"1"`
	Inertia    units.Inertia `toml:"inertia" default:"1 kg cm^2" min:"0.001 kg cm^2" max:"10 kg m^2"`
}

type intakeFile struct {
	poweredFile
	Radius    units.Length `toml:"radius" default:"25 mm" min:"2 mm" max:"200 mm"`
	Mouth     []place      `toml:"mouth" need:"[['200 mm', '-120 mm'], ['300 mm', '-120 mm'], ['300 mm', '120 mm'], ['200 mm', '120 mm']]" min:"-1.5 m" max:"1.5 m"`
	Direction units.Angle  `toml:"direction" min:"-360 deg" max:"360 deg"`
	Angle     units.Angle  `toml:"angle" default:"60 deg" min:"0 deg" max:"180 deg"`
	Speed     units.Speed  `toml:"speed" default:"300 mm/s" min:"0 mm/s" max:"10 m/s"`
	Into      string       `toml:"into"`
}

type conveyorFile struct {
	poweredFile
	Radius    units.Length `toml:"radius" default:"20 mm" min:"2 mm" max:"200 mm"`
	Length    units.Length `toml:"length" need:"'450 mm'" min:"20 mm" max:"3 m"`
	Slots     int          `toml:"slots" need:"3" min:"1" max:"20"`
	Exit      place        `toml:"exit" need:"['290 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
	Out       place        `toml:"out" need:"['-290 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
	Direction units.Angle  `toml:"direction" default:"180 deg" min:"-360 deg" max:"360 deg"`
	Load      units.Force  `toml:"load" default:"1 N" min:"0 N" max:"100 N"`
}

type pistonFile struct {
	Bore   units.Length `toml:"bore" default:"10 mm" min:"2 mm" max:"100 mm"`
	Stroke units.Length `toml:"stroke" default:"25 mm" min:"2 mm" max:"500 mm"`
	Spring units.Force  `toml:"spring" default:"8 N" min:"0 N" max:"1000 N"`
	Assist bool         `toml:"assist"`
	Time   units.Time   `toml:"time" default:"120 ms" min:"5 ms" max:"5 s"`
	Tubing units.Volume `toml:"tubing" default:"0 ml" min:"0 ml" max:"1 l"`
}

type clampFile struct {
	At        place        `toml:"at" need:"['-330 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
	Direction units.Angle  `toml:"direction" default:"180 deg" min:"-360 deg" max:"360 deg"`
	Offset    units.Length `toml:"offset" default:"35 mm" min:"1 mm" max:"500 mm"`
	Angle     units.Angle  `toml:"angle" default:"14 deg" min:"0.1 deg" max:"180 deg"`
	Softness  float64      `toml:"softness" default:"0.2" min:"0" max:"1"`
	Piston    *pistonFile  `toml:"piston"`
	Force     units.Force  `toml:"force" min:"0.01 N" max:"2000 N" zero:"a piston"`
	Grip      float64      `toml:"grip" default:"0.6" min:"0.01" max:"5"`
	Shut      bool         `toml:"shut"`
}

type scorerFile struct {
	From      string       `toml:"from"`
	Clamp     string       `toml:"clamp"`
	At        place        `toml:"at" need:"['-250 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
	Direction units.Angle  `toml:"direction" default:"180 deg" min:"-360 deg" max:"360 deg"`
	Offset    units.Length `toml:"offset" default:"40 mm" min:"1 mm" max:"1 m"`
	Angle     units.Angle  `toml:"angle" default:"25 deg" min:"0.1 deg" max:"180 deg"`
	Softness  float64      `toml:"softness" default:"0.2" min:"0" max:"1"`
	Crooked   units.Length `toml:"crooked" default:"25 mm" min:"0 mm" max:"1 m"`
	Lift      string       `toml:"lift"`
	Reach     units.Length `toml:"reach" default:"250 mm" min:"1 mm" max:"2 m"`
}

type clawFile struct {
	At        place        `toml:"at" need:"['280 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
	Direction units.Angle  `toml:"direction" min:"-360 deg" max:"360 deg"`
	Offset    units.Length `toml:"offset" default:"60 mm" min:"1 mm" max:"500 mm"`
	Piston    pistonFile   `toml:"piston"`
	Lift      string       `toml:"lift"`
	Reach     units.Length `toml:"reach" default:"200 mm" min:"1 mm" max:"2 m"`
	Gives     string       `toml:"gives"`
}

type liftFile struct {
	poweredFile
	Elevator bool         `toml:"elevator"`
	Radius   units.Length `toml:"radius" default:"20 mm" min:"2 mm" max:"300 mm"`
	Arm      units.Length `toml:"arm" default:"250 mm" min:"10 mm" max:"2 m"`
	Load     units.Mass   `toml:"load" default:"0.3 kg" min:"1 g" max:"50 kg"`
	Low      travel       `toml:"low" need:"'-30 deg'" min:"-360 deg|-3 m" max:"360 deg|3 m"`
	High     travel       `toml:"high" need:"'70 deg'" min:"-360 deg|-3 m" max:"360 deg|3 m"`
	Start    *travel      `toml:"start" min:"-360 deg|-3 m" max:"360 deg|3 m"`
	Spring   *push        `toml:"spring" min:"0 N m|0 N" max:"500 N m|2000 N"`
	Friction *push        `toml:"friction" min:"0 N m|0 N" max:"500 N m|2000 N"`
	Slack    *travel      `toml:"slack" min:"0 deg|0 mm" max:"90 deg|750 mm"`
	Sensor   *travel      `toml:"sensor" min:"0.00001 deg|0.0001 mm" max:"90 deg|750 mm" zero:"an ideal sensor"`
	Within   *travel      `toml:"within" min:"0.006 deg|0.1 mm" max:"90 deg|750 mm"`
	Heights  []heightFile `toml:"heights"`
	Gains    gainsFile    `toml:"gains"`
}

type heightFile struct {
	Name string `toml:"name" need:"'rack'"`
	At   travel `toml:"at" need:"'40 deg'" min:"-360 deg|-3 m" max:"360 deg|3 m"`
}

type gainsFile struct {
	P    *proportional `toml:"p" min:"0 V/deg|0 V/mm" max:"10000 V/deg|1000 V/mm"`
	I    *integral     `toml:"i" min:"0 V/deg/s|0 V/mm/s" max:"10000 V/deg/s|1000 V/mm/s"`
	D    *derivative   `toml:"d" min:"0 V s/deg|0 V s/mm" max:"10000 V s/deg|1000 V s/mm"`
	Hold units.Voltage `toml:"hold" min:"-60 V" max:"60 V"`
}
