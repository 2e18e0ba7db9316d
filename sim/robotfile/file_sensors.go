package robotfile

import "chalkfield/internal/units"

// sensorFile is a [[sensors]] table: a name and one table named for the kind of sensor.
type sensorFile struct {
	Name     string        `toml:"name" need:"'left_encoder'"`
	Encoder  *encoderFile  `toml:"encoder"`
	Tracking *trackingFile `toml:"tracking_wheel"`
	Inertial *inertialFile `toml:"inertial"`
	Distance *distanceFile `toml:"distance"`
	Optical  *opticalFile  `toml:"optical"`
	Rotation *rotationFile `toml:"rotation"`
	Bumper   *bumperFile   `toml:"bumper"`
}

// timingFile is what every sensor may have.
type timingFile struct {
	Rate    units.Frequency `toml:"rate"`
	Latency units.Time      `toml:"latency"`
	Dropout float64         `toml:"dropout"`
}

// lengthFile is the quality of a sensor that reads a length.
type lengthFile struct {
	timingFile
	Resolution units.Length `toml:"resolution"`
	Noise      units.Length `toml:"noise"`
	Scale      float64      `toml:"scale"`
}

type encoderFile struct {
	lengthFile
	Train string `toml:"train" need:"'left'"`
}

type trackingFile struct {
	lengthFile
	At        place        `toml:"at" need:"['-60 mm', '0 mm']"`
	Direction units.Angle  `toml:"direction"`
	Radius    units.Length `toml:"radius" default:"25 mm"`
}

type inertialFile struct {
	timingFile
	Resolution units.Angle        `toml:"resolution"`
	Noise      units.Angle        `toml:"noise"`
	Scale      float64            `toml:"scale"`
	Walk       units.AngleWalk    `toml:"walk"`
	BiasWalk   units.RateWalk     `toml:"bias_walk"`
	Bias       units.AngularSpeed `toml:"bias"`
}

type distanceFile struct {
	lengthFile
	At        place        `toml:"at" need:"['210 mm', '0 mm']"`
	Direction units.Angle  `toml:"direction"`
	Low       units.Length `toml:"low" default:"20 mm"`
	High      units.Length `toml:"high" default:"2 m"`
}

type opticalFile struct {
	timingFile
	On    string       `toml:"on"`
	Along units.Length `toml:"along" need:"'200 mm'"`
}

type rotationFile struct {
	timingFile
	On         string  `toml:"on"`
	Resolution *travel `toml:"resolution"`
	Noise      *travel `toml:"noise"`
	Scale      float64 `toml:"scale"`
}

type bumperFile struct {
	timingFile
	At        place       `toml:"at" need:"['210 mm', '0 mm']"`
	Direction units.Angle `toml:"direction"`
}
