package viewmodel

import "chalkfield/internal/base/geom"

type errorText string

func (e errorText) Error() string { return string(e) }

func v(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
