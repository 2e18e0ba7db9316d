package desk

import "chalkfield/internal/geom"

type errorText string

func (e errorText) Error() string { return string(e) }

func v(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
