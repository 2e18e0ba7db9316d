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
	Rate    units.Frequency `toml:"rate" min:"0.5 Hz" max:"100 kHz" zero:"every control tick"`
	Latency units.Time      `toml:"latency" min:"0 s" max:"1 s"`
	Dropout float64         `toml:"dropout" min:"0" max:"0.99"`
}

// lengthFile is the quality of a sensor that reads a length.
type lengthFile struct {
	timingFile
	Resolution units.Length `toml:"resolution" min:"0.0001 mm" max:"200 mm" zero:"an ideal sensor"`
	Noise      units.Length `toml:"noise" min:"0 mm" max:"500 mm"`
	Scale      float64      `toml:"scale" min:"-0.5" max:"0.5"`
}

type encoderFile struct {
	lengthFile
	Train string `toml:"train" need:"'left'"`
}

type trackingFile struct {
	lengthFile
	At        place        `toml:"at" need:"['-60 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
	Direction units.Angle  `toml:"direction" min:"-360 deg" max:"360 deg"`
	Radius    units.Length `toml:"radius" default:"25 mm" min:"5 mm" max:"200 mm"`
}

type inertialFile struct {
	timingFile
	Resolution units.Angle        `toml:"resolution" min:"0.00001 deg" max:"30 deg" zero:"an ideal sensor"`
	Noise      units.Angle        `toml:"noise" min:"0 deg" max:"30 deg"`
	Scale      float64            `toml:"scale" min:"-0.5" max:"0.5"`
	Walk       units.AngleWalk    `toml:"walk" min:"0 deg/sqrt(h)" max:"350 deg/sqrt(h)"`
	BiasWalk   units.RateWalk     `toml:"bias_walk" min:"0 deg/s/sqrt(s)" max:"6 deg/s/sqrt(s)"`
	Bias       units.AngularSpeed `toml:"bias" min:"-60 deg/s" max:"60 deg/s"`
}

type distanceFile struct {
	lengthFile
	At        place        `toml:"at" need:"['210 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
	Direction units.Angle  `toml:"direction" min:"-360 deg" max:"360 deg"`
	Low       units.Length `toml:"low" default:"20 mm" min:"0 mm" max:"10 m"`
	High      units.Length `toml:"high" default:"2 m" min:"10 mm" max:"20 m"`
}

type opticalFile struct {
	timingFile
	On    string       `toml:"on"`
	Along units.Length `toml:"along" need:"'200 mm'" min:"0 mm" max:"3 m"`
}

type rotationFile struct {
	timingFile
	On         string  `toml:"on"`
	Resolution *travel `toml:"resolution" min:"0.00001 deg|0.0001 mm" max:"90 deg|750 mm" zero:"an ideal sensor"`
	Noise      *travel `toml:"noise" min:"0 deg|0 mm" max:"90 deg|750 mm"`
	Scale      float64 `toml:"scale" min:"-0.5" max:"0.5"`
}

type bumperFile struct {
	timingFile
	At        place       `toml:"at" need:"['210 mm', '0 mm']" min:"-1.5 m" max:"1.5 m"`
	Direction units.Angle `toml:"direction" min:"-360 deg" max:"360 deg"`
}
