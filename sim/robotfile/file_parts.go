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
	Count      int           `toml:"count" default:"1"`
	Gear       float64       `toml:"gear" default:"1"`
	Efficiency float64       `toml:"efficiency" default:"0.85"`
	Inertia    units.Inertia `toml:"inertia" default:"1 kg cm^2"`
}

type intakeFile struct {
	poweredFile
	Radius    units.Length `toml:"radius" default:"25 mm"`
	Mouth     []place      `toml:"mouth" need:"[['200 mm', '-120 mm'], ['300 mm', '-120 mm'], ['300 mm', '120 mm'], ['200 mm', '120 mm']]"`
	Direction units.Angle  `toml:"direction"`
	Angle     units.Angle  `toml:"angle" default:"60 deg"`
	Speed     units.Speed  `toml:"speed" default:"300 mm/s"`
	Into      string       `toml:"into"`
}

type conveyorFile struct {
	poweredFile
	Radius    units.Length `toml:"radius" default:"20 mm"`
	Length    units.Length `toml:"length" need:"'450 mm'"`
	Slots     int          `toml:"slots" need:"3"`
	Exit      place        `toml:"exit" need:"['290 mm', '0 mm']"`
	Out       place        `toml:"out" need:"['-290 mm', '0 mm']"`
	Direction units.Angle  `toml:"direction" default:"180 deg"`
	Load      units.Force  `toml:"load" default:"1 N"`
}

type pistonFile struct {
	Bore   units.Length `toml:"bore" default:"10 mm"`
	Stroke units.Length `toml:"stroke" default:"25 mm"`
	Spring units.Force  `toml:"spring" default:"8 N"`
	Assist bool         `toml:"assist"`
	Time   units.Time   `toml:"time" default:"120 ms"`
}

type clampFile struct {
	At        place        `toml:"at" need:"['-330 mm', '0 mm']"`
	Direction units.Angle  `toml:"direction" default:"180 deg"`
	Offset    units.Length `toml:"offset" default:"35 mm"`
	Angle     units.Angle  `toml:"angle" default:"14 deg"`
	Softness  float64      `toml:"softness" default:"0.2"`
	Piston    *pistonFile  `toml:"piston"`
	Force     units.Force  `toml:"force"`
	Grip      float64      `toml:"grip" default:"0.6"`
	Shut      bool         `toml:"shut"`
}

type scorerFile struct {
	From      string       `toml:"from"`
	Clamp     string       `toml:"clamp"`
	At        place        `toml:"at" need:"['-250 mm', '0 mm']"`
	Direction units.Angle  `toml:"direction" default:"180 deg"`
	Offset    units.Length `toml:"offset" default:"40 mm"`
	Angle     units.Angle  `toml:"angle" default:"25 deg"`
	Softness  float64      `toml:"softness" default:"0.2"`
	Crooked   units.Length `toml:"crooked" default:"25 mm"`
	Lift      string       `toml:"lift"`
	Reach     units.Length `toml:"reach" default:"250 mm"`
}

type clawFile struct {
	At        place        `toml:"at" need:"['280 mm', '0 mm']"`
	Direction units.Angle  `toml:"direction"`
	Offset    units.Length `toml:"offset" default:"60 mm"`
	Piston    pistonFile   `toml:"piston"`
	Lift      string       `toml:"lift"`
	Reach     units.Length `toml:"reach" default:"200 mm"`
	Gives     string       `toml:"gives"`
}

type liftFile struct {
	poweredFile
	Elevator bool         `toml:"elevator"`
	Radius   units.Length `toml:"radius" default:"20 mm"`
	Arm      units.Length `toml:"arm" default:"250 mm"`
	Load     units.Mass   `toml:"load" default:"0.3 kg"`
	Low      travel       `toml:"low" need:"'-30 deg'"`
	High     travel       `toml:"high" need:"'70 deg'"`
	Start    *travel      `toml:"start"`
	Spring   *push        `toml:"spring"`
	Friction *push        `toml:"friction"`
	Slack    *travel      `toml:"slack"`
	Sensor   *travel      `toml:"sensor"`
	Within   *travel      `toml:"within"`
	Heights  []heightFile `toml:"heights"`
	Gains    gainsFile    `toml:"gains"`
}

type heightFile struct {
	Name string `toml:"name" need:"'rack'"`
	At   travel `toml:"at" need:"'40 deg'"`
}

type gainsFile struct {
	P    *proportional `toml:"p"`
	I    *integral     `toml:"i"`
	D    *derivative   `toml:"d"`
	Hold units.Voltage `toml:"hold"`
}
