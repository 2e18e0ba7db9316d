package scene

import (
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
	"chalkfield/sim/robot"
)

var spinnerKind = kind{
	state: func(k *bench, s record.PartSample) {
		k.line(k.busy, geom.Vec{X: -0.0123}, geom.Vec{X: 0.0123})
	},
	value: func(*robot.Part) Value { return Value{Name: "rim speed", Unit: "mm/s", Scale: 1000} },
}
